// Ways out of a way back are worked out last; a guide opened before they were ready asks
// for them until its first step begins. Without them a second slip is a stop.
import { ask } from "./send.js";

const AGAIN_MS = 3000;
const MOST_TRIES = 40;

/** @param {Run} run */
export async function askMoreWays(run) {
  for (let i = 0; i < MOST_TRIES && run.bundle.more_ways && run.state.phase === "ready"; i += 1) {
    const answer = await ask(`/guide/runs/${run.bundle.run}/bundle`);
    if (answer?.status === 200 && answer.body?.more_ways === false) {
      await run.renew(answer.body);
      return;
    }
    await new Promise((done) => { setTimeout(done, AGAIN_MS); });
  }
}
