// Package signoff answers, without trusting whoever keeps the ledger, who
// recorded what, whether it is unaltered, and what of it still holds: the walk
// through the history that decides which keys count, the sign-offs and their
// standing today, and the manifests that time stamps are over.
//
// Keys and policy for a commit are those of its first parent, as far as they
// were themselves added by commits signed with a key that counted: nobody can
// let himself in. The keys of the first commit are held against fingerprints
// that the reader got by another way; without those a history can be consistent
// in itself and its origin is not established.
//
// The package reads no repository and no clock. Commits, files and pins come in
// as values; out come verdicts with all that a sentence needs, and no sentence.
package signoff
