// What the server writes before the worker's text: for the type check alone.
declare const VERSION: string;
declare const KEPT: string[];
