// Answers where there is no line. VERSION and SHELL stand above: the shell is
// kept under the version, and an older one goes once this one has all it needs.
const SHELL_CACHE = `aplomb-shell-${VERSION}`;
const DATA_CACHE = "aplomb-data"; // the last plan and the drawings
const PLAN = "/me/plan";
const PATIENCE = 3000; // milliseconds

self.addEventListener("install", (event) => {
	event.waitUntil(
		(async () => {
			const shell = await caches.open(SHELL_CACHE);
			await Promise.all(SHELL.map((path) => keep(shell, path)));
			await plan();
			await self.skipWaiting();
		})(),
	);
});

self.addEventListener("activate", (event) => {
	event.waitUntil(
		(async () => {
			for (const name of await caches.keys()) if (name.startsWith("aplomb-shell-") && name !== SHELL_CACHE) await caches.delete(name);
			await self.clients.claim();
		})(),
	);
});

async function keep(cache, path) {
	const answer = await fetch(path, { credentials: "same-origin", redirect: "error" });
	if (!answer.ok) throw new Error(path);
	await cache.put(path, answer);
}

// plan fetches the plan and, beside it, the drawings it names.
async function plan(request = new Request(PLAN, { headers: { Accept: "application/json" } })) {
	const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
	if (!answer.ok || answer.redirected) return answer; // nobody is signed in
	const data = await caches.open(DATA_CACHE);
	await data.put(PLAN, answer.clone());
	drawings(data, await answer.clone().json());
	return answer;
}

async function drawings(data, { drills }) {
	const wanted = new Set(Object.values(drills).flatMap((d) => d.figure ?? []));
	for (const request of await data.keys()) {
		const { pathname, search } = new URL(request.url);
		if (pathname !== PLAN && !wanted.delete(pathname + search)) await data.delete(request);
	}
	for (const path of wanted) await keep(data, path).catch(() => {}); // it comes when it is looked at
}

self.addEventListener("fetch", (event) => {
	const { request } = event;
	const url = new URL(request.url);
	if (request.method !== "GET" || url.origin !== location.origin) return;
	if (url.pathname === PLAN) event.respondWith(fresh(request));
	else if (request.mode === "navigate") event.respondWith(page(request, url));
	else if (url.pathname.startsWith("/static/") || url.pathname.startsWith("/me/figures/")) event.respondWith(stored(request));
});

// fresh is the plan from the studio, or the last one.
async function fresh(request) {
	try {
		return await plan(request);
	} catch {
		const last = await caches.match(PLAN);
		if (!last) return Response.error();
		const headers = new Headers(last.headers);
		headers.set("X-From", "phone");
		return new Response(last.body, { headers });
	}
}

// page is the shell of the session at once, and any other page from the studio,
// where there is a line.
async function page(request, url) {
	const shell = () => caches.match("/me/session");
	if (url.pathname === "/me/session") return (await shell()) ?? fetch(request);
	try {
		return await fetch(request);
	} catch {
		return (await shell()) ?? Response.error();
	}
}

async function stored(request) {
	const kept = await caches.match(request);
	if (kept) return kept;
	const answer = await fetch(request);
	if (answer.ok && new URL(request.url).pathname.startsWith("/me/figures/")) await (await caches.open(DATA_CACHE)).put(request, answer.clone());
	return answer;
}
