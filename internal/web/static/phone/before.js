// Before a session: which day, how much of it, or not like this.
import { button, el } from "./draw.js";
import { newID } from "./outbox.js";
import { say } from "./say.js";

const WEEKDAYS = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

// nameOf names a session whatever version of the week it stands in.
const nameOf = (s) => [s.week.split("/").slice(0, 2).join("/"), s.day, s.index].join("|");

const weekday = (date) => WEEKDAYS[(new Date(`${date}T12:00:00Z`).getUTCDay() + 6) % 7];

// sessionsOn are the sessions of a day as the student has them: those moved away
// are not there, those moved here are.
function sessionsOn(c, day) {
	const own = day.sessions.filter((s) => c.detours[nameOf(s)]?.what !== "moved");
	const here = c.plan.days.flatMap((d) => d.sessions.filter((s) => c.detours[nameOf(s)]?.date === day.date).map((s) => ({ ...s, from: d.name })));
	return [...own, ...here];
}

// pick is the list of days.
export const pick = (c) => [
	el("h1", { tabindex: "-1" }, say("pick")),
	stops(c),
	el(
		"ul",
		{ class: ["rows", "days"] },
		c.plan.days.map((day) =>
			el(
				"li",
				{},
				button(day.name, () => c.go(day.date), day.date === c.today ? "go" : ""),
				sessionsOn(c, day).map((s) => el("p", { class: "soft" }, head(c, s))),
			),
		),
	),
	el("p", { class: "soft" }, c.plan.caution),
];

const stops = (c) => c.plan.stops.map((s) => el("p", { class: "caution" }, s.text));

function head(c, s) {
	const parts = [say("minutes", { n: s.minutes })];
	if (s.start && !s.from) parts.push(s.start);
	if (s.from) parts.push(say("moved.here", { day: s.from }));
	const what = c.detours[nameOf(s)]?.what;
	if (what === "skipped") parts.push(say("before.skipped"));
	if (c.done[nameOf(s)]) parts.push(say("before.done"));
	return parts.join(" · ");
}

// before is a day, ready to begin.
export function before(c, day) {
	const sessions = sessionsOn(c, day);
	return [
		el("h1", { tabindex: "-1" }, day.name),
		stops(c),
		sessions.map((s) => session(c, day, s)),
		day.sessions.filter((s) => c.detours[nameOf(s)]?.what === "moved").map((s) => el("p", {}, say("before.moved", { day: dayName(c, c.detours[nameOf(s)].date) }), " ", takeBack(c, s))),
		sessions.length === 0 && el("p", {}, say("nosession")),
		day.off?.length > 0 && [el("h2", {}, say("stretch")), el("ul", { class: "plain-list" }, day.off.map((it) => el("li", {}, [it.name, it.dose].join(", "))))],
		el("p", {}, el("a", { href: `/me/day/${day.date}` }, say("read"))),
		button(say("back"), () => c.go(""), "quietly"),
		el("p", { class: "soft" }, c.plan.caution),
	];
}

const dayName = (c, date) => c.plan.days.find((d) => d.date === date)?.name ?? date;

function session(c, day, s) {
	const detour = c.detours[nameOf(s)];
	if (detour?.what === "skipped") return el("section", { class: "sheet" }, el("p", {}, say("before.skipped")), takeBack(c, s));
	const done = c.done[nameOf(s)];
	const form = (name, text, hint) => [button(text, () => c.start(day, s, name), name === "planned" && !done ? "go" : ""), hint && el("p", { class: "soft" }, hint)];
	return el(
		"section",
		{ class: "sheet" },
		el("p", { class: "soft" }, head(c, s)),
		el("p", {}, s.blocks.flatMap((b) => (b.kind === "stretch" ? [] : b.items.map((it) => it.name))).join(" · ")),
		el("h2", {}, done ? say("before.more") : say("before.form")),
		form("planned", say("before.planned", { n: s.minutes })),
		s.tired && form("tired", say("before.tired", { n: s.tired.minutes }), say("before.tired.text")),
		s.five && form("five", say("before.five"), say("before.five.text")),
		!done && otherwise(c, day, s),
	);
}

// otherwise moves a session to a free day of its week, or leaves it out.
function otherwise(c, day, s) {
	const week = s.week.split("/")[1];
	const free = c.plan.days.filter((d) => d.date !== day.date && sessionsOn(c, d).length === 0 && !d.away && isoWeek(d.date) === week);
	const reasons = ["tired", "time", "ill", "hurts", "place"];
	const detour = (body, kept) => {
		const id = c.detours[nameOf(s)]?.id ?? newID();
		const detours = { ...c.detours, [nameOf(s)]: { id, ...kept } };
		c.change([{ id, kind: "detour", body: { week: s.week, day: s.day, session: s.index, ...body } }], { detours });
	};
	return el(
		"details",
		{ class: "more" },
		el("summary", {}, say("before.else")),
		free.length > 0 && el("h3", {}, say("before.move")),
		free.map((d) => button(d.name, () => detour({ what: "moved", to: weekday(d.date) }, { what: "moved", date: d.date }))),
		el("h3", {}, say("before.skip")),
		button(say("before.skip"), () => detour({ what: "skipped" }, { what: "skipped" })),
		el("p", { class: "soft" }, say("before.reason")),
		reasons.map((r) => button(say(`before.reason.${r}`), () => detour({ what: "skipped", reason: r }, { what: "skipped" }))),
	);
}

function takeBack(c, s) {
	const { id } = c.detours[nameOf(s)];
	const { [nameOf(s)]: _, ...detours } = c.detours;
	return button(say("before.again"), () => c.change([{ id, kind: "detour", body: null }], { detours }), "quietly");
}

// isoWeek is the week of a day by ISO 8601, as 2026-W23.
export function isoWeek(date) {
	const d = new Date(`${date}T12:00:00Z`);
	d.setUTCDate(d.getUTCDate() + 3 - ((d.getUTCDay() + 6) % 7)); // the Thursday of its week
	const first = Date.UTC(d.getUTCFullYear(), 0, 1);
	const n = Math.floor((d.getTime() - first) / 604_800_000) + 1;
	return `${d.getUTCFullYear()}-W${String(n).padStart(2, "0")}`;
}
