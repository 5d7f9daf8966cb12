// Who has left the workshop leaves none of it on the device: the pages kept to open without it go,
// and of the logs what the workshop has too. What was counted and not sent yet stays.

import { forgetSent, forgetSentDeep } from "./keep.js";
import { forgetTicks } from "./ticks.js";

if ("caches" in window) await caches.delete("sockwright-bench");
forgetSent();
await forgetSentDeep();
forgetTicks();
document.documentElement.dataset.left = "done";
