// Package media reads what photos and documents say of themselves, and makes
// the small pictures that travel with a ledger: bytes in, values out.
//
// Files come from strangers. What a file claims is looked at before anything is
// unpacked; a reader walks each list of its format once and forward, so that it
// ends whatever the bytes are; nothing in a file is followed, opened or run.
// Standard: Exif 2.32 (CIPA DC-008), TIFF 6.0, ISO/IEC 10918-1 (JPEG), PNG third
// edition, ISO/IEC 14496-12 and 23008-12 (HEIF), ISO 32000-1 (PDF).
package media
