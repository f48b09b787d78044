// Time and what is heard and felt of it: a stopwatch, beeps, and a screen that
// stays awake.

// Stopwatch runs by performance.now(); where the page was reloaded or the screen
// locked meanwhile, by the clock on the wall.
export class Stopwatch {
	constructor() {
		document.addEventListener("visibilitychange", () => {
			if (document.visibilityState === "hidden") this.slept = true;
		});
	}

	start() {
		this.from = performance.now();
		this.slept = false;
	}

	// read is the seconds since the start at wall time, and whether they are by the
	// wall.
	read(wall) {
		const byWall = this.from === undefined || this.slept;
		const ms = byWall ? Date.now() - wall : performance.now() - this.from;
		return { seconds: Math.max(0, ms / 1000), wall: byWall };
	}

	reset() {
		this.from = undefined;
	}
}

let audio;

// listen must be called from a tap: browsers give sound to nothing else.
export function listen() {
	try {
		audio ??= new AudioContext();
		audio.resume();
	} catch {
		audio = undefined; // a phone without sound still vibrates and shows
	}
}

// beep sounds a tone and shakes the phone.
export function beep(high = false) {
	navigator.vibrate?.(high ? 300 : 80);
	if (!audio) return;
	const tone = audio.createOscillator();
	const loud = audio.createGain();
	tone.frequency.value = high ? 1320 : 880;
	loud.gain.setValueAtTime(0.4, audio.currentTime);
	loud.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + (high ? 0.5 : 0.15));
	tone.connect(loud).connect(audio.destination);
	tone.start();
	tone.stop(audio.currentTime + 0.6);
}

let lock;

// awake keeps the screen on while wanted; a browser that cannot goes on as it is.
export async function awake(wanted) {
	try {
		if (wanted && document.visibilityState === "visible" && (lock === undefined || lock.released)) lock = await navigator.wakeLock?.request("screen");
		if (!wanted) await lock?.release();
	} catch {
		lock = undefined; // low battery: the phone knows better
	}
}
