// What each state of a session looks like. A view gets the plan, the state and
// do(what), and gives the elements of the page.
import { button, el, strings } from "./draw.js";
import { logs, mode, place, step, timed } from "./run.js";
import { say } from "./say.js";

const SITES = ["wrist", "elbow", "shoulder", "neck", "back", "head", "other"];

const heading = (text) => el("h1", { tabindex: "-1" }, text);

const para = (text, kind) => (text ? el("p", { class: kind }, text) : null);

// scale is 0 to 10 as buttons.
export function scale(label, press, chosen) {
	return el(
		"div",
		{ class: "scale", role: "group", "aria-label": label },
		Array.from({ length: 11 }, (_, n) =>
			el("button", { type: "button", "aria-pressed": String(chosen === n), "aria-label": say("scale", { n }), click: () => press(n) }, String(n)),
		),
	);
}

const choice = (label, options, press, chosen) =>
	el(
		"div",
		{ class: "choose", role: "group", "aria-label": label },
		options.map(([value, text]) => el("button", { type: "button", "aria-pressed": String(chosen === value), click: () => press(value) }, text)),
	);

const sites = (press, chosen) => choice(say("hurt.where"), SITES.map((site) => [site, say(`site.${site}`)]), press, chosen);

const VIEWS = {
	wrists: (c) => [
		heading(say("wrists")),
		para(say("wrists.text")),
		scale(say("wrists"), (pain) => c.do({ do: "wrists", pain, site: "wrist" })),
	],
	prep: (c) => [
		heading(say("block.prep")),
		para(c.s.local ? say("block.prep.noload") : step(c.s).text),
		para(say("minutes", { n: step(c.s).minutes }), "soft"),
		c.s.before > 2 && !c.s.local && para(say("wrists.some"), "caution"),
		stoppedList(c),
		button(say("prep.done"), () => c.do({ do: "next" }), "go"),
	],
	test: (c) => [
		para(say("test"), "soft"),
		heading(step(c.s).test.name),
		para(step(c.s).test.setup),
		para(step(c.s).test.counts),
		para(say("test.text"), "soft"),
		button(say("test.done"), () => c.do({ do: "next" }), "go"),
	],
	cold: (c) => [
		heading(say("cold")),
		para(say("cold.text")),
		para(say("cold.ask")),
		button(say("cold.no"), () => c.do({ do: "coldAsked", trained: false }), "go"),
		button(say("cold.yes"), () => c.do({ do: "coldAsked", trained: true })),
	],
	ready: (c) => [
		...drillHead(c),
		step(c.s).kind === "cold" && c.s.cold === false && para(say("cold.tired"), "note"),
		para(c.drill.criterion, "soft"),
		figure(c.drill),
		how(c),
		button(say("drill.ready"), () => c.do({ do: "ready" }), "go"),
		drillMenu(c),
	],
	set: (c) => (mode(c.plan, c.s) === "minutes" ? minutesSet(c) : trySet(c)),
	count: (c) => [
		heading(say("getready")),
		el("p", { class: "clock", "data-tick": "count" }),
		para(say("countin.text"), "soft"),
		button(say("back"), () => c.do({ do: "cancel" })),
	],
	going: (c) => [
		el("h1", { class: "quiet" }, step(c.s).item.name),
		el("button", { type: "button", class: "whole", click: c.stop }, el("span", { class: "clock", "data-tick": "going" }), el("span", {}, say("running"))),
	],
	ended: (c) => [
		heading(say("ended")),
		el(
			"div",
			{ class: "stepper" },
			el("button", { type: "button", "aria-label": say("less"), click: () => c.do({ do: "adjust", by: -0.5 }) }, "−"),
			el("output", { class: "clock" }, say("ended.secs", { n: c.s.seconds })),
			el("button", { type: "button", "aria-label": say("more"), click: () => c.do({ do: "adjust", by: 0.5 }) }, "+"),
		),
		para(say(c.s.wall ? "ended.long" : "ended.tap"), "soft"),
		c.s.tally ? tallied(c) : ends(c),
	],
	afterset: (c) => [
		para(c.s.sets.length > 0 ? setLine(c) : "", "soft"),
		heading(say("afterset")),
		picture(c),
		restLine(c),
		button(say(c.s.set >= step(c.s).item.sets ? "nextdrill" : "nextset"), () => c.do({ do: "nextSet" }), "go"),
		el(
			"details",
			{},
			el("summary", {}, say("afterset.text")),
			line("keep", say("keep"), c.s.words.keep, (keep) => c.do({ do: "type", keep })),
			line("next", say("trynext"), c.s.words.next, (next) => c.do({ do: "type", next })),
		),
		marks(c, step(c.s).item.drill),
		drillMenu(c),
	],
	worse: (c) => [
		heading(say("worse")),
		para(say("worse.text")),
		button(say("worse.last", { name: c.s.last.name }), () => c.do({ do: "last" }), "go"),
		button(say("worse.end"), () => c.do({ do: "enough" })),
		button(say("worse.go"), () => c.do({ do: "goOn" }), "quietly"),
	],
	hurt: (c) => hurtView(c),
	"hurt-on": (c) => [
		heading(say("hurt")),
		para(say("wrists.some"), "caution"),
		button(say("finish"), () => c.do({ do: "enough" }), "go"),
		button(say("hurt.on"), () => c.do({ do: "skipDrill" })),
	],
	after: (c) => afterView(c),
	stop: (c) => [
		heading(say("stopnow")),
		para(c.s.over || c.s.hurt ? say("stopnow.text") : say("wrists.stop"), "caution"),
		para(say("stopnow.refer")),
		c.plan.minor && para(say("stopnow.minor"), "caution"),
		button(say("stopnow.read"), () => c.do({ do: "told" }), "go"),
	],
	end: (c) => [
		heading(say("end.title")),
		para(say("end.text", { tries: c.s.total, minutes: c.s.took })),
		c.s.after.pain >= c.plan.rules.ask_morning && para(say("end.morning")),
		button(say("home"), c.leave, "go"),
	],
};

// view is the page of a state.
export const view = (c) => VIEWS[c.s.phase](c);

function setLine(c) {
	const p = step(c.s);
	return say("set", { set: c.s.set, sets: p.item.sets });
}

function drillHead(c) {
	const { at, all } = place(c.s);
	const p = step(c.s);
	return [
		para(say("drill.of", { at, all }), "soft"),
		heading(p.item.name),
		para(p.item.dose, "soft"),
		c.drill.stopped && para(c.drill.stopped, "caution"),
		p.item.cue && el("p", { class: "cue" }, p.item.cue),
	];
}

const figure = (drill) => drill.figure && el("img", { class: "figure", src: drill.figure, alt: drill.alt });

const how = (c) =>
	el(
		"details",
		{ class: "how" },
		el("summary", {}, say("drill.how")),
		para(c.drill.setup),
		c.drill.steps && el("ol", {}, c.drill.steps.map((text) => el("li", {}, text))),
		para(c.drill.out),
		para(c.drill.spot),
		c.drill.errors?.map((e) => para([e.error, e.change].join(" "), "soft")),
		step(c.s).item.why && para([say("drill.why"), step(c.s).item.why].join(": "), "soft"),
	);

function trySet(c) {
	const { s, drill } = c;
	const p = step(s);
	const tally = mode(c.plan, s) === "tally";
	const top = p.item.sets > 1 ? say("set.rep", { set: s.set, sets: p.item.sets, rep: s.tries.length + 1, reps: p.item.reps }) : say("try.rep", { rep: s.tries.length + 1, reps: p.item.reps });
	return [
		para(p.item.name, "soft"),
		heading(top),
		p.item.cue && el("p", { class: "cue" }, p.item.cue),
		timed(drill) && p.item.seconds > 0 && para(say("aim", { n: p.item.seconds }), "soft"),
		picture(c),
		p.sampled && s.set === 1 && p.item.reps > 1 && s.tries.length === 0 && para(say("sampled"), "soft"),
		tally && s.tally.tries > 0 && para(say("tally.line", s.tally), "soft"),
		restLine(c),
		timed(drill) && !tally && startButtons(c),
		!timed(drill) || tally ? countButtons(c, tally) : null,
		tally && timed(drill) && button(say("tally.time"), c.start),
		tally && s.tally.tries > 0 && button(say("tally.done"), () => c.do({ do: "setDone" })),
		drillMenu(c),
	];
}

const startButtons = (c) => [
	button(say(c.s.rest > Date.now() ? "rest.now" : "start"), c.start, "go"),
	button(say("countin"), c.countIn),
	c.drill.free && button(say("nocatch"), () => c.do({ do: "end", untimed: true, caught: false })),
];

function countButtons(c, tally) {
	const counted = (caught) => () => c.do(tally ? { do: "tally", caught } : { do: "end", untimed: true, caught });
	return [
		button(say(c.drill.free ? "tally.caught" : "passed"), counted(true), "go"),
		button(say(c.drill.free ? "nocatch" : "missed"), counted(false)),
	];
}

const minutesSet = (c) => [
	...drillHead(c),
	figure(c.drill),
	how(c),
	step(c.s).item.sets > 1 && para(setLine(c)),
	button(say("minutesdone"), () => c.do({ do: "minutesDone" }), "go"),
	drillMenu(c),
];

const ends = (c) => [
	c.drill.free && button(say("nocatch"), () => c.do({ do: "end", untimed: true, caught: false })),
	c.drill.ends.map((end) => button(say(`end.${end}`), () => c.do({ do: "end", end }), end === "pain" ? "quietly" : "")),
];

// tallied keeps a timed try of a set that is counted: how it ended is not asked.
const tallied = (c) => [
	button(say("next"), () => c.do({ do: "end" }), "go"),
	button(say(c.drill.free ? "nocatch" : "missed"), () => c.do({ do: "end", untimed: true, caught: false })),
];

function picture(c) {
	const p = step(c.s);
	if (!timed(c.drill) && c.s.tries.length === 0) return null;
	const label = (t) => (t.pass || t.seconds > 0 ? say("strings.one", { n: t.seconds }) : "0");
	return strings({
		tries: c.s.tries, all: p.item.reps, aim: p.item.seconds, label,
		alt: say("strings.alt", { n: c.s.tries.length, list: c.s.tries.map((t) => (t.pass ? label(t) : say("strings.none"))).join(", ") }),
	});
}

function restLine(c) {
	if (c.s.rest <= Date.now()) return null;
	return el(
		"div",
		{ class: "rest" },
		el("p", {}, el("strong", {}, say("rest")), " ", el("span", { class: "clock", "data-tick": "rest" })),
		c.restWhy && para(say("rest.why"), "soft"),
	);
}

// drillMenu is what else may be done with a drill.
function drillMenu(c) {
	const p = step(c.s);
	const easier = c.drill.easier && c.plan.drills[c.drill.easier];
	return el(
		"details",
		{ class: "more" },
		el("summary", {}, say("menu")),
		easier && !easier.stopped && p.kind === "drill" && button(say("swap", { name: easier.name }), () => c.do({ do: "swap", drill: c.drill.easier })),
		button(say("skipdrill"), () => c.do({ do: "skipDrill" })),
		logs(c.plan, p.item) && button(say("hurt"), () => c.do({ do: "askHurt" })),
		button(say("finish"), () => c.do({ do: "enough" })),
	);
}

const marks = (c, drill) =>
	choice(c.plan.drills[drill].name, [["helped", say("helped")], ["confusing", say("confusing")]], (mark) => c.do({ do: "mark", mark, drill }), c.s.marks[drill]?.mark);

function line(name, label, value, change) {
	return el("p", { class: "field" }, el("label", { for: name }, label), el("input", { id: name, maxlength: "200", value: value ?? "", enterkeyhint: "done", change: (e) => change(e.target.value) }));
}

function hurtView(c) {
	const said = { site: c.s.site || "wrist" };
	return [
		heading(say("hurt")),
		para(say("hurt.where")),
		sites((site) => {
			said.site = site;
			for (const b of document.querySelectorAll(".choose button")) b.setAttribute("aria-pressed", String(b.textContent === say(`site.${site}`)));
		}, said.site),
		para(say("hurt.much")),
		scale(say("hurt.much"), (pain) => c.do({ do: "hurt", pain, site: said.site })),
	];
}

function afterView(c) {
	const a = c.after;
	const set = (field) => (value) => {
		a[field] = value;
		c.draw();
	};
	const yesNo = (field) => choice(say(`after.${field}`), [[false, say("after.no")], [true, say("after.yes")]], set(field), a[field]);
	return [
		heading(say("after")),
		el("h2", {}, say("after.effort")),
		para(say("after.effort.text"), "soft"),
		scale(say("after.effort"), set("effort"), a.effort),
		el("h2", {}, say("after.pain")),
		scale(say("after.pain"), set("pain"), a.pain),
		a.pain > 0 && [para(say("hurt.where")), sites(set("site"), a.site || c.s.site)],
		el("h2", {}, say("after.numb")),
		yesNo("numb"),
		el("h2", {}, say("after.swollen")),
		yesNo("swollen"),
		line("note", say("after.note"), c.s.after.note, (note) => c.do({ do: "type", note })),
		button(say("after.done"), () => c.do({ do: "done", after: a }), "go"),
	];
}

function stoppedList(c) {
	const out = c.s.steps.filter((p) => p.stopped && p.item);
	return out.length > 0 && el("ul", { class: "left-out" }, out.map((p) => el("li", {}, el("strong", {}, p.item.name), " ", say("drill.stopped", { why: p.stopped }))));
}
