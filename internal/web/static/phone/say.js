// The sentences of the phone: they come with the plan, in the student's
// language. {name} is filled in; {name|one|many} picks a form by a number.
let lines = {};

export function speak(words) {
	lines = words;
}

export function say(id, values = {}) {
	const line = lines[id];
	if (line === undefined) throw new Error(id);
	return line.replace(/\{([^}]*)\}/g, (_, slot) => {
		const [name, one, many] = slot.split("|");
		if (!(name in values)) throw new Error(`${id}:${name}`);
		if (one === undefined) return String(values[name]);
		return String(values[name]) === "1" ? one : many;
	});
}
