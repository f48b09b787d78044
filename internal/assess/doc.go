// Package assess turns a student's log into a standing: how long they hold and
// how surely, cold and warm, which milestone is proven, what limits them, when
// the next may come, how much the hands carried, and what pain allows.
package assess
