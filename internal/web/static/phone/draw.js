// Elements of the page, and the strings of a set.
const SVG = "http://www.w3.org/2000/svg";

// el makes an element. Attributes that are functions listen, lists are joined,
// and those that are false, null or undefined are left out.
export function el(tag, attrs = {}, ...kids) {
	return fill(document.createElement(tag), attrs, kids);
}

function fill(e, attrs, kids) {
	for (const [name, value] of Object.entries(attrs)) {
		if (typeof value === "function") e.addEventListener(name, value);
		else if (value !== undefined && value !== null && value !== false) e.setAttribute(name, value === true ? "" : Array.isArray(value) ? value.join(" ") : value);
	}
	e.append(...kids.flat().filter((k) => k !== null && k !== undefined && k !== false));
	return e;
}

const svg = (tag, attrs, ...kids) => fill(document.createElementNS(SVG, tag), attrs, kids);

// button is a big button; press is what it does.
export const button = (text, press, kind = "") => el("button", { type: "button", class: kind, click: press }, text);

const WIDE = 354;
const HIGH = 150; // from the beam to the lowest bob
const BOB = 14;

// strings are the tries of a set, each hung from the beam, the longer the more
// seconds; pale bobs wait for those still to come.
export function strings({ tries, all, aim, alt, label }) {
	const most = Math.max(aim || 0, 1, ...tries.map((t) => t.seconds));
	const n = Math.max(all, tries.length, 1);
	const apart = WIDE / n;
	const named = apart > 26;
	const out = svg("svg", { class: "tries", viewBox: `0 0 ${WIDE} ${HIGH + 46}`, role: "img", "aria-label": alt }, svg("rect", { class: "beam", width: WIDE, height: 8 }));
	for (let i = 0; i < n; i++) {
		const t = tries[i];
		const x = apart * (i + 0.5);
		const length = t && !t.untimed ? 14 + ((HIGH - 34) * t.seconds) / most : t?.pass ? 60 : 26;
		const half = Math.min(9, apart / 3);
		const kind = ["bob", t ? (t.end === "lowered" ? "hollow" : t.pass ? "" : "missed") : "waits"];
		out.append(
			svg("path", { class: "line", d: `M${x} 8V${8 + length}` }),
			svg("path", { class: kind, d: `M${x - half} ${8 + length}h${2 * half}l${-half} ${BOB}z` }),
		);
		if (t && named && !t.untimed) out.append(svg("text", { x, y: 8 + length + BOB + 18, "text-anchor": "middle" }, label(t)));
	}
	return out;
}
