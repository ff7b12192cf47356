// Package store keeps results of cases on disk, so that a second run computes
// only what changed. It owns the files in its folder and refuses to know what a
// key or a value means.
//
// Everything in it can be computed again. So nothing here is worth waiting for:
// a damaged entry is a miss, a lock that is taken is passed by, a folder that
// cannot be written to is only read, and a disk that is full ends the keeping
// and not the run. No result of a run depends on what a store holds.
//
// # Files
//
// A segment is a pair of files, v1-TAG-NUMBER.keys and .values. TAG is made
// from the name of the method, NUMBER grows. The keys file is a header (format
// version, name of the method, checksum), then records of 64 bytes: key, place
// and length of the value, day, checksum of key and value, checksum of the
// record. Values follow each other without anything between them. A value is
// written before its record. So whatever the moment a process is killed at, a
// record that is whole has its value; a record that is not stands last and is
// ignored. Records of one size keep a flipped byte from hiding the records
// behind it.
//
// A process writes to a segment of its own and holds a lock (flock) on it as
// long as it lives; it never changes the segment of another. Two runs at once
// see each other's results when they are next opened.
//
// # What is thrown away, and when
//
// A record bears the day it was last asked for. An entry that is asked for and
// whose day is a quarter of the kept days old (1 to 30 days) is written once
// more with the day of today; the newest record of a key counts. So an entry
// that no run asks for is dropped when its day is older than the kept days and
// that quarter: never before the kept days are over. With 0 days nothing is
// written more than once and nothing is dropped. Of runs with different days on
// one folder, the one with the fewest decides.
//
// Close puts the folder in order when that is due: where a method has MergeFrom
// or more small segments (less than 32 MiB) that no process writes to, or one of
// which at least half is worth nothing (expired, written anew since, damaged),
// what is worth keeping is copied to a new segment and the old ones are removed.
// It copies up to 64 MiB, or one segment that is larger. So a method has fewer
// than MergeFrom small segments, and all others are at least half of use.
// Segments of other methods, and those of this one with a damaged header, are
// removed when nothing was written to them for as long as entries are kept.
// Readers that have a removed file open read on. Nothing else is ever removed:
// neither files of another format version nor those with other names. Deleting
// the folder, or the files of one TAG, by hand is safe between runs.
//
// Locks are of one machine. On systems without flock nothing is merged or
// dropped.
//
// A B+tree in one file would need less code, but the kept ones lock their file
// for one process as long as it is open, so that of two runs one would wait or
// go without; and they write whole pages for random keys.
package store
