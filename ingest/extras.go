package ingest

import "fmt"

// extras are the ride-through columns of all files. A column of one file and a
// column of the next are one if their names differ only in upper case, spaces
// and punctuation; two columns of the same file never are, whatever they are
// called.
type extras struct {
	names []string         // as they are called in the results
	spelt []string         // as they stood in the file
	byKey map[string][]int // indices by the folded spelling in the file
	taken map[string]bool  // folded names in the results
}

func extraKey(name string) string {
	if key := fold(name); key != "" {
		return key
	}
	return name
}

// place returns an index for each of the headers of one file, all different.
// A header takes the index of an earlier file that spelt it the same, else one
// that folds the same, else a new one.
func (e *extras) place(headers []string) []int {
	out := make([]int, len(headers))
	taken := map[int]bool{}
	for pass := range 2 {
		for i, h := range headers {
			if pass == 0 {
				out[i] = -1
			}
			for _, k := range e.byKey[extraKey(h)] {
				if out[i] < 0 && !taken[k] && (pass == 1 || e.spelt[k] == h) {
					out[i], taken[k] = k, true
				}
			}
		}
	}
	own := map[string]bool{}
	for _, h := range headers {
		own[extraKey(h)] = true
	}
	for i, h := range headers {
		if out[i] >= 0 {
			continue
		}
		if e.byKey == nil {
			e.byKey, e.taken = map[string][]int{}, map[string]bool{}
		}
		key, name := extraKey(h), h
		// Names in the results must stay apart where case does not count: in
		// spreadsheets and in most databases.
		for n := len(e.byKey[key]) + 1; e.taken[extraKey(name)]; n++ {
			if n < 2 {
				continue
			}
			if next := fmt.Sprintf("%s (%d)", h, n); !own[extraKey(next)] {
				name = next
			}
		}
		out[i] = len(e.names)
		e.names, e.spelt = append(e.names, name), append(e.spelt, h)
		e.byKey[key], e.taken[extraKey(name)] = append(e.byKey[key], out[i]), true
	}
	return out
}
