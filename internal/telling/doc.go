// Package telling puts what was computed into a coach's sentences, the same on
// the command line and on every page. The sentences themselves are in words.
package telling
