package postgres

import "context"

// Verify implements store.Database. What a client can look through is what it
// reads, and the store reads all of it; the pages are the server's to check.
func (d *database) Verify(context.Context) error { return nil }
