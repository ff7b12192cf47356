package page_test

import (
	"fmt"
	"os"
	"testing"
	"time"
)

func TestPages(t *testing.T) {
	cp := func(from, to string) {
		b, _ := os.ReadFile(from)
		os.WriteFile("/tmp/page6/"+to, b, 0o644)
		t.Log(to, len(b))
	}
	in := screened(t, demo)
	cp(written(t, in, nil), "steady.html")
	cp(written(t, in, madeUp), "sampled.html")
	big := screened(t, many(t, 20470))
	start := time.Now()
	p := written(t, big, madeUp)
	t.Log(time.Since(start))
	cp(p, "big.html")
	cp(written(t, big, nil), "bigsteady.html")
}

func TestShots(t *testing.T) {
	b := chromium(t)
	for _, name := range []string{"sampled", "steady", "big"} {
		for _, w := range []int{1366, 390} {
			start := time.Now()
			b.open("/tmp/page6/"+name+".html", w, true)
			load := time.Since(start)
			hgt := int(b.eval("document.documentElement.scrollHeight").(float64))
			t.Log(name, w, load, "height", hgt, "scrollWidth", b.eval("document.documentElement.scrollWidth"), "paint ms", b.eval("(performance.getEntriesByName('first-contentful-paint')[0]||{}).startTime"), "ready", b.eval("document.documentElement.getAttribute('data-ready')"), "heapMB", b.eval("performance.memory.usedJSHeapSize/1e6"))
			if name == "big" {
				t.Log("filter ms", b.eval(`(function(){var t=performance.now();var s=document.getElementById('f-strategy');s.value=-2;s.dispatchEvent(new Event('change'));return performance.now()-t})()`))
				t.Log("text ms", b.eval(`(function(){var t=performance.now();var s=document.getElementById('f-text');s.value='HX-0123';document.getElementById('f-strategy').value=-1;document.getElementById('f-strategy').dispatchEvent(new Event('change'));return performance.now()-t})()`))
				b.open("/tmp/page6/"+name+".html", w, true)
			}
			b.eval("new Promise(function(r){setTimeout(r,150)})")
			for y, k := 0, 0; y < hgt && k < 5; y, k = y+1500, k+1 {
				b.picture(fmt.Sprintf("/tmp/page6/%s-%d-%d.png", name, w, k), y, w, min(1500, hgt-y))
			}
		}
		b.open("/tmp/page6/"+name+".html", 1366, true)
		b.pdf("/tmp/page6/" + name + ".pdf")
	}
	for _, e := range b.errors {
		t.Log("ERR", e)
	}
	b.open("/tmp/page6/sampled.html", 1366, false)
	b.picture("/tmp/page6/noscript.png", 0, 1366, 3000)
}

func TestWide(t *testing.T) {
	b := chromium(t)
	b.open("/tmp/page6/sampled.html", 390, true)
	t.Log(b.eval(`Array.from(document.querySelectorAll('body *')).filter(function(e){var r=e.getBoundingClientRect();return r.right>391&&!e.closest('.scroll')}).slice(0,12).map(function(e){return e.tagName+'#'+e.id+'.'+e.getAttribute('class')+' '+e.getBoundingClientRect().right}).join('\n')`))
}
