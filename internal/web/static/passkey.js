// Passkeys by the browser's own WebAuthn (level 3). Without script, or where
// the browser has none, nothing here shows and the password form does it all.

const post = async (path, body) => {
	const answer = await fetch(path, {
		method: "POST",
		headers: { "Content-Type": "application/json", Accept: "application/json" },
		body: JSON.stringify(body),
	});
	const said = await answer.json();
	if (!answer.ok) {
		throw new Error([said.error, said.fix].filter(Boolean).join(" "));
	}
	return said;
};

// run does one thing by the button of a box, and says there what went wrong.
const run = (box, what) => {
	const fault = box.querySelector(".fault");
	const button = box.querySelector("button");
	box.hidden = false;
	button.addEventListener("click", async () => {
		fault.hidden = true;
		button.disabled = true;
		try {
			location.assign((await what()).to);
		} catch (e) {
			// DOMException: the person or the authenticator said no.
			fault.textContent = e instanceof DOMException ? box.dataset.none : e.message;
			fault.hidden = false;
			button.disabled = false;
		}
	});
};

if (globalThis.PublicKeyCredential?.parseRequestOptionsFromJSON) {
	const enter = document.getElementById("with-passkey");
	if (enter) {
		run(enter, async () => {
			const studio = document.querySelector("[name=studio]").value;
			const { key, options } = await post("/passkey/ask", { studio });
			const publicKey = PublicKeyCredential.parseRequestOptionsFromJSON(options);
			const answer = await navigator.credentials.get({ publicKey });
			return post("/passkey/enter", { key, answer: answer.toJSON(), next: enter.dataset.next });
		});
	}
	const make = document.getElementById("new-passkey");
	if (make) {
		run(make, async () => {
			const { key, options } = await post("/passkey/new", {});
			const publicKey = PublicKeyCredential.parseCreationOptionsFromJSON(options);
			const answer = await navigator.credentials.create({ publicKey });
			return post("/passkey/keep", { key, answer: answer.toJSON(), name: document.getElementById("passkey-name").value });
		});
	}
}
