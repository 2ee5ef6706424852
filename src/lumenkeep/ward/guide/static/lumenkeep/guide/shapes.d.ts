// The shapes that the guide's modules hand to each other, for the type check alone: no
// browser loads this. What the bundle and the account mean is written in
// docs/for-engineers/reference-guide.md; every module may name these without an import.

// ------------------------------------------------------------------ small words

type Role = "operator" | "assistant";
/** ISO 8601, with an offset. */
type Instant = string;
/** How many of each item. */
type Counts = Record<string, number>;
/** What was called out; unknown is not no. */
type Value = string | number | string[] | NotKnown | null | undefined;
interface NotKnown {
  unknown: string;
}
interface Fault {
  where: string;
  what: string;
  mend?: string;
}
/** Why a line is not to be used, and until when. */
interface Hold {
  says: string;
  until: string;
}
interface Person {
  key: string;
  name: string;
}

// ------------------------------------------------------------------ the bundle

interface Bundle {
  run: string;
  made_at: Instant;
  zone: string;
  line: Line;
  people: { operator: Person; assistant: Person | null };
  procedure: { id: string; title: string; is_urgent: boolean };
  facts?: { label: string; says: string; known: boolean }[];
  band?: Band;
  do_not_use?: Hold[];
  turns?: Turn[];
  plan: Plan;
  caution: string;
  facts_mark: string;
  also_open: { since: Instant; by_name: string; run?: string } | null;
  items: Record<string, { name: string }>;
  spares: Counts;
  lay_out: LaidOut[];
  steps: Step[];
  acts: Record<string, Omit<Step, "id"> & { id?: string }>;
  slips: Record<string, Slip>;
  ways: Record<string, WayBack[]>;
  ways_in_ways?: WaysInWays;
  more_ways?: boolean;
  stop: { acts: string[]; at?: Record<string, string[]> };
  entry: { fields: Field[] };
  practice: { seed: number; slips: Thrown[] } | null;
}

interface Line {
  name: string;
  child: string;
  identifiers?: { label: string | null; says: string }[];
  bed: string;
  shares_bed?: boolean;
  ward: string;
}

interface Band {
  agent: string | null;
  dressing: string | null;
  allergies: { says: string; words: string[] | null };
  last_length: string | null;
}

interface Plan {
  sentence: string;
  cautions?: string[];
  skin: Skin | null;
  put_on: { label: string; stays_words: string | null } | null;
  policy: { set: string; version: string };
}

interface Skin {
  label: string;
  swabs: number;
  seconds_per_swab: number | null;
  scrub_s: number | null;
  dry_s: number;
  dry_judgement: string;
  area_mm: [number, number];
  residue_words: string | null;
  helper: string | null;
  cautions: string[];
}

interface LaidOut {
  name: string;
  count: number;
  spare?: boolean;
  holds?: string | null;
}

/** A step of the procedure, or an act of a way back. */
interface Step {
  id: string;
  actor: string;
  verb: string;
  says: string;
  because?: string;
  source?: string;
  operator?: HalfStep | null;
  assistant?: HalfStep | null;
  seconds: number | null;
  timer: string | null;
  look: Look | null;
  charted?: Field[];
  drawing: string | null;
  /** Null at an act that leaves it as its step had it. */
  bare: boolean | null;
  field_open: boolean;
  checks_facts: boolean;
  shows: string | null;
  opens_line: boolean;
  /** The step that an act does once more. */
  step?: string;
}

interface HalfStep {
  do?: string | null;
  then?: string | null;
  watch?: string | null;
}

interface Look {
  asks: string;
  yes: string;
  no: string;
  again_seconds?: number | null;
}

interface Field {
  field: string;
  label: string;
  type: string;
  choices: { value: string; label: string }[];
  required: boolean;
  previous: string | null;
  value: Value;
  low?: number | null;
  high?: number | null;
  card?: Card | null;
  from?: string | null;
  always_known?: boolean;
}

/** By what a tablet judges a length alone. */
interface Card {
  low: number;
  high: number;
  last: number | null;
  far: number | null;
  words: Record<string, string>;
  arms: Record<string, CardArm>;
}
interface CardArm {
  from: number | null;
  base?: string | null;
  again: string;
  segments: { upto: number; state: LengthState }[];
}
type LengthState = "impossible" | "unlikely" | "fine" | "measure-again" | "moved";
interface Judged {
  state: LengthState;
  then: LengthState;
  says: string;
  meant: number | null;
}
/** What stands at a length. */
interface LengthSaid {
  kind: "impossible" | "ask" | "moved" | "again" | "not-again";
  says: string;
  meant?: number | null;
  key?: string;
  typed?: Value;
}

interface Slip {
  says: string;
  number: number;
  because?: string;
  redo?: string;
  keep?: string;
}

/** What a slip asks for. */
interface WayBack {
  slip: string;
  ending: Ending;
  acts: string[];
  then: string | null;
  cost: { bare_s: number; pieces: number; acts: number } | null;
  stands?: { step: string; because: string }[];
  needs?: Counts;
  lacking?: Counts;
  because: string;
  steady?: string | null;
  stop?: string[];
  unfinished?: WayBack;
  is_unfinished?: boolean;
}
type Ending = "way-back" | "stop" | "leave";

interface WaysInWays {
  of?: Record<string, number | string>;
  groups?: Record<string, Record<string, number[]>>;
  after?: Record<string, Record<string, number[]>>;
  rows?: WayBack[];
}

/** A way back whose effects may not be over: until which place of the steps. */
interface Standing {
  key: string;
  isSecond: boolean;
  until: number;
  then: number;
}

/** A word that was called out and makes the plan another one. */
interface Turn {
  field: string;
  value: string;
  label: string;
  says: string;
}

// ------------------------------------------------------------------ the log

/** What each kind of event carries beside its time. */
interface EventData {
  "begun": { unticked?: string[] };
  "next": {};
  "back": {};
  "look": { answer: "yes" | "no" };
  "early": { reason: string };
  "value": { field: string; value: Value };
  "slip": { slip: string };
  "slip-withdrawn": {};
  "was-finished": {};
  "step-was": { finished: boolean };
  "brought": { items: Counts; says: string };
  "way": { kind: Ending; acts: string[]; then?: string | null; needs?: Counts; is_unfinished?: boolean };
  "stop": { why: string };
  "pause": { why: string };
  "resume": {};
  "off": { held_t: number; held_at: Instant; ms: number };
  "go-on": {};
  "jump": { seconds: number };
  "facts": FactsHeard;
  "facts-read": {};
  "turns-read": {};
  "length-sure": { field: string; key: string };
  "hold-known": { why: string };
  "picked": Thrown & { is_right: boolean; chose: string };
  "edit": { field: string; to: Value; why: string };
  "note": { text: string };
  "confirm": { person: string };
  "queued": {};
  "faults": { faults: Fault[] };
  "facts-changed": { mark: string; changed: Changed[] };
  "given-up": { why: string };
}
type EventType = keyof EventData;
type EventOf<K extends EventType> = { run: string; at: Instant; t: number; n?: number; type: K } & EventData[K];
type LogEvent = { [K in EventType]: EventOf<K> }[EventType];
/** These speak of the step on the screen; where there is none they mean nothing. */
type StepEvent = "next" | "back" | "look" | "early" | "slip" | "slip-withdrawn" | "way" | "stop" | "pause" | "resume" | "off" | "go-on" | "was-finished" | "step-was";
/** What an event changes. */
type Handler<K extends EventType> = (state: K extends StepEvent ? AtStep : RunState, event: EventOf<K>, bundle: Bundle) => Change | null | false;
/** What is told to the screen: an event, or that it could not be kept. */
type Told = EventType | "not-kept";

/** What the chart answered: either what is new, or why there is no answer. */
type FactsHeard =
  | { mark: string; changed: Changed[]; sent?: Sent | false; do_not_use?: Hold[]; why?: undefined }
  | { why: string; mark?: undefined; changed?: undefined; sent?: undefined; do_not_use?: undefined };
interface Changed {
  what: string;
  plan_differs?: boolean;
}
interface Sent {
  at: Instant;
  by: string;
}

// ------------------------------------------------------------------ what is so now

/** The log and the bundle, folded. */
interface RunState {
  phase: "ready" | "steps" | "review" | "waiting" | "given-up";
  ending: "done" | "stopped" | "left" | "given-up" | null;
  at: number;
  floor: number;
  way: Way | null;
  span: Span | null;
  slip: SaidSlip | null;
  anew: { at: number; resumes: number } | null;
  paused: { from: Instant; why: string } | null;
  off: { ms: number } | null;
  last_t: number;
  bare_ms: number;
  left: Counts;
  values: Record<string, Value>;
  edits: { field: string; from: Value; to: Value; why: string }[];
  remarks: string[];
  note: string;
  done: SpanRecord[];
  ahead: Record<string, Span>;
  slips: SlipRecord[];
  pauses: { from: Instant; to: Instant; why: string }[];
  jumps: { at: Instant; seconds: number }[];
  picks: EventData["picked"][];
  facts: { mark: string; heard_at: Instant; changed: Changed[]; read: boolean; why: string | null; sent?: Sent | false };
  acknowledged: string | null;
  confirmed: { person: string; at: Instant }[];
  faults: Fault[];
  do_not_use: Hold[];
  turns_read: string[];
  sure: Record<string, string>;
  hold_known: { why: string; at: Instant; says: string[] } | null;
  started_at: Instant | null;
  ended_at: Instant | null;
}
type Change = Partial<RunState>;
/** A run with a step or act on the screen. */
type AtStep = RunState & { span: Span };

/** A run in which a slip is being decided. */
type AtSlip = RunState & { slip: SaidSlip };

/** One step or act while it is on the screen; times in ms of the run's own axis. */
interface Span {
  id: string;
  began_at: Instant;
  began_t: number;
  credited: number;
  since: number | null;
  need: number | null;
  need_from: number;
  early: string | null;
  looked: { at: Instant; answer: "yes" | "no" }[];
  saw_yes: boolean;
  facts: Instant | null;
}
interface SpanRecord {
  id: string;
  began_at: Instant;
  seconds: number;
  early: string | null;
  looked: Span["looked"];
  passed: number;
}

/** The way back, stop or leaving that is gone just now. */
interface Way {
  kind: Ending;
  slip: string | null;
  step: string;
  acts: string[];
  i: number;
  then: string | null;
  gone: string[];
  is_second: boolean;
  could_end?: boolean;
  finished?: boolean;
}
/** A slip that is said, while its way is being decided. */
interface SaidSlip {
  slip: string;
  step: string;
  at: Instant;
  could_end?: boolean;
  finished?: boolean;
}
interface SlipRecord {
  slip: string;
  step: string;
  at: Instant;
  way: string[];
  ended: Ending;
  spares: Counts;
}

/** What still holds the step on the screen. */
type Holding =
  | { kind: "facts-changed" | "facts-asked" | "plan-turned" | "do-not-use" | "look" }
  | { kind: "value" | "fault" | "length"; field: Field }
  | { kind: "time"; left: number };

interface Thrown {
  step: string;
  slip: string;
}
interface Answer {
  says: string;
  is_right: boolean;
}

// ------------------------------------------------------------------ on this tablet

interface KeptRun {
  run: string;
  bundle: Bundle;
  kept_at: Instant;
}
interface Pulse {
  run: string;
  t: number;
  wall: number;
}
interface OutboxEntry {
  run: string;
  path: string;
  account: object;
  tries: number;
  next_at: number;
  status: string;
  detail: any;
  halted?: boolean;
}
interface Receipt {
  run: string;
  path: string;
  status: string;
  line_url?: string;
  at: Instant;
}
interface Stores {
  runs: KeptRun;
  events: LogEvent;
  pulses: Pulse;
  outbox: OutboxEntry;
  receipts: Receipt;
  tablet: { id: string; number?: string; bundle?: Bundle };
}
type StoreName = keyof Stores;
/** The server's answer; what it holds is looked at before it is believed. */
interface ServerAnswer {
  status: number;
  body: any;
}
/** What the page that prepares a guide asks for. */
interface Wanted {
  tablet: string;
  answers: Record<string, FormDataEntryValue>;
  [field: string]: FormDataEntryValue | Record<string, FormDataEntryValue>;
}
/** What was sent, as its receipt has to name it. */
interface SentText {
  run: string;
  path: string;
  digest: string;
}
interface Sending {
  status: string;
  again?: number;
  body?: any;
}

// ------------------------------------------------------------------ on the screen

type Child = Node | string | number | null | undefined | false | Child[];
type Listener<E> = (event: E & { target: HTMLInputElement; currentTarget: HTMLElement }) => unknown;
interface Props {
  onclick?: Listener<MouseEvent> | null;
  oninput?: Listener<Event>;
  onchange?: Listener<Event>;
  onkeydown?: Listener<KeyboardEvent>;
  [attribute: string]: unknown;
}

type Run = import("./run.js").Run;
type RunView = import("./run-view.js").RunView;
type Outbox = import("./send.js").Outbox;

/** A row of the plan: its name, and what it says. */
type PlanRow = [string, Child] | null;
/** One whole screen of the guide. */
interface GuideScreen {
  node: HTMLElement;
  foot?: HTMLElement;
  /** Follow the time, in ms of the run's own axis. */
  tick(t: number): void;
  heading: string;
  says: string;
  commands: Partial<Record<string, () => unknown>>;
}
/** A part of a screen that follows the time or what is typed. */
interface Part {
  node: HTMLElement;
  tick(): void;
}
interface ShowHow {
  keepFocus?: boolean;
}

/** The page round a run. */
interface Shell {
  show(screen: GuideScreen, how?: ShowHow): void;
  say(words: string, aloud?: string): void;
  screen(): GuideScreen | null;
  outbox: Outbox;
}
/** What the controllers of one run share. */
interface Parts {
  run: Run;
  view: RunView;
  shell: Shell;
}

/** What a screen can press. */
interface Controls {
  ticked: Set<number>;
  begin(unticked?: string[]): unknown;
  next(): unknown;
  back(): unknown;
  look(answer: "yes" | "no"): unknown;
  timeIsOver(doing: Step): void;
  value(field: string, value: Value, again?: unknown): void;
  lengthSure(field: Field, key: string): unknown;
  typeAnew(field: Field): void;
  factsRead(): unknown;
  turnsRead(): unknown;
  wasFinished(): unknown;
  pause(): void;
  resume(): unknown;
  goOn(): unknown;
  slip(): void;
  withdraw(): unknown;
  stepWas(finished: boolean): unknown;
  way(row: WayBack): unknown;
  brought(items: Counts): unknown;
  stop: (() => void) | null;
  giveUp(): void;
  opened: Set<string>;
  change(field: Field): void;
  edit(field: Field, to: Value, again?: unknown): void;
  note(text: string): unknown;
  confirm(person: Person, open: Field[]): void;
  send(): unknown;
  sending(): Sending;
  hurry(): unknown;
  again(): unknown;
  leave(): unknown;
  menu(): void;
  redraw(): void;
}
