// A worker that only counts: the browser slows the timers of a page nobody sees, but not
// its messages, so the seconds on the tablet go on being kept.
setInterval(() => postMessage(null), 100);
