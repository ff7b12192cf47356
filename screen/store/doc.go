// Package store keeps results of cases on disk, so that a second run computes
// only what changed. It owns the files in its folder and refuses to know what a
// key or a value means.
//
// Everything in it can be computed again. So nothing here is worth waiting for:
// a damaged entry is a miss, a lock that is taken is passed by, and a folder
// that cannot be written to is only read.
//
// # Files
//
// A segment is a pair of files, v1-TAG-NUMBER.keys and .values. TAG is made
// from the name of the method, NUMBER grows. The keys file is a header (format
// version, name of the method, checksum), then records of 64 bytes: key, place
// and length of the value, checksum of key and value, checksum of the record.
// Values follow each other without anything between them. A value is written
// before its record. So whatever the moment a process is killed at, a record
// that is whole has its value; a record that is not stands last and is ignored.
// Records of one size keep a flipped byte from hiding the records behind it.
//
// A process writes to a segment of its own and holds a lock (flock) on it as
// long as it lives; it never changes the segment of another. Two runs at once
// see each other's results when they are next opened.
//
// # What is thrown away, and when
//
// Close merges: where a method has MergeFrom or more small segments (less than
// 32 MiB) that no process writes to, the smallest of them, up to 64 MiB in all,
// are copied to a new segment and removed. Twice kept and damaged entries are
// left out. So a method has less than MergeFrom small segments and one for each
// 32 MiB, and Close never copies more than 64 MiB. Readers that have a removed
// file open read on. Nothing else is ever removed: entries nobody asks for any
// more, and segments of other methods and formats, stay until the folder (or
// the files with their TAG) is deleted by hand, which is safe between runs.
//
// Locks are of one machine. On systems without flock nothing is merged.
//
// A B+tree in one file would need less code, but the kept ones lock their file
// for one process as long as it is open, so that of two runs one would wait or
// go without; and they write whole pages for random keys.
package store
