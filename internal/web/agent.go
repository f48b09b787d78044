package web

import "strings"

// agent is a browser as a person knows it, from what it calls itself. The
// order matters: most call themselves by several names. What is not known is
// shown as it was sent.
func (v *visit) agent(sent string) string {
	if sent == "" {
		return v.say("agent.none")
	}
	name := firstIn(sent, "Edg/", "Edge", "OPR/", "Opera", "Firefox/", "Firefox", "Chrome/", "Chrome", "Safari/", "Safari")
	on := firstIn(sent, "iPhone", "iPhone", "iPad", "iPad", "Android", "Android", "Windows", "Windows", "Mac OS X", "Mac", "Linux", "Linux")
	if name == "" || on == "" {
		return sent
	}
	return v.say("agent", "browser", name, "system", on)
}

// firstIn is the name after the first mark that is in s.
func firstIn(s string, pairs ...string) string {
	for i := 0; i+1 < len(pairs); i += 2 {
		if strings.Contains(s, pairs[i]) {
			return pairs[i+1]
		}
	}
	return ""
}
