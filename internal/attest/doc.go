// Package attest makes and checks the evidence that records were written by
// somebody and existed by some time: SSH keys and signatures, lists of allowed
// signers, and time-stamp tokens. Bytes go in, a verdict comes out; the package
// knows nothing of cars, files, Git or the clock.
//
// Everything it makes is accepted by stock ssh-keygen, git and openssl, and
// everything they make it accepts, but for what it refuses on purpose: keys too
// weak to bind anybody, certificates, and bytes that could be changed without
// the verdict changing. Whatever a stranger sends is an error at worst.
package attest
