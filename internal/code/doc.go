// Package code holds what ties a thing on a shelf to a line in a ledger: the
// check character that catches a slip of the pen in a tag number, the guess at
// which character slipped, and QR codes, written as outlines for paper and read
// out of a telephone's pictures.
//
// Everything that a picture holds may come from a stranger. Pictures are
// bounded before their pixels are unpacked, what a code says is plain text
// until [ParsePayload] has recognised it, and nothing here acts on it.
package code
