package vault

// Forget is the key without the older ones: what is sealed for them alone does
// not open any more, backups among it. A recovery key has nothing to forget.
func (k *Key) Forget() *Key {
	if k.own == nil {
		return k
	}
	return &Key{own: k.own, recovery: k.recovery}
}

// Older is how many older keys it opens for.
func (k *Key) Older() int { return len(k.old) }
