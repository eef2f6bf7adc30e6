// Package edtf reads the dates of old papers and new records, keeps them as they
// were written, and orders them only as far as they allow.
//
// The notation is the Extended Date/Time Format of ISO 8601-2:2019, levels 0
// and 1 as far as papers need them: "1967", "1967-03", "2018-09-12", with "?"
// (uncertain), "~" (approximate) or "%" (both) behind; unspecified digits
// "196X", "1967-XX", "1967-03-XX"; intervals "2019-03-04/2019-04-03" with an
// open end ".." or an unknown one left empty; date-times with or without an
// offset. From level 2 comes the set "[2019-03-04,2019-04-03]", one of which is
// meant. Seasons and years beyond four digits are refused with a reason.
//
// A calendar date is compared with another as a calendar date. Where a time of
// day comes in, everything is compared as instants, and what has no zone may lie
// in any: between UTC-12 and UTC+14. UTC is never assumed. The clock is never
// read; today comes in as a [Day].
package edtf
