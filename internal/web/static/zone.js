// The time zone of this device is the likeliest one of the studio.
const field = document.getElementById("time_zone");
if (field.value === "") {
	field.value = Intl.DateTimeFormat().resolvedOptions().timeZone;
}
