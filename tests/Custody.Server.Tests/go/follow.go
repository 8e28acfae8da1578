// Follows a running log (c2sp.org/tlog-tiles) with Go's own x/mod packages and nothing of this project:
//
//	follow URL VKEY
//
// Each line on standard input is one look: the checkpoint is fetched and its signature verified, the new entries are fetched and hashed, the
// root and every root seen before are computed again, the tree is proved to begin with each older one, by the entries and by the server's own
// proof. Answers "ok SIZE", or ends with the reason and exit code 1. Memory holds the whole log's hashes: this is a check, not a service.
package main

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"log"
	"net/http"
	"os"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

type hashes []tlog.Hash

func (h hashes) ReadHashes(indexes []int64) ([]tlog.Hash, error) {
	out := make([]tlog.Hash, len(indexes))
	for i, index := range indexes {
		out[i] = h[index]
	}
	return out, nil
}

var (
	base   string
	stored hashes
	seen   []tlog.Tree
)

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

func get(path string) []byte {
	answer, err := http.Get(base + path)
	check(err)
	defer answer.Body.Close()
	data, err := io.ReadAll(io.LimitReader(answer.Body, 1<<20))
	check(err)
	if answer.StatusCode != 200 {
		log.Fatalf("%s: %s", path, answer.Status)
	}
	return data
}

// tile fetches a tile or bundle as it stands at a size, the number in groups of three digits (tlog-tiles, "Merkle Tree").
func tile(level string, index, width int64) []byte {
	path := fmt.Sprintf("%03d", index%1000)
	for index /= 1000; index > 0; index /= 1000 {
		path = fmt.Sprintf("x%03d/%s", index%1000, path)
	}
	if width < 256 {
		path += fmt.Sprintf(".p/%d", width)
	}
	return get("/tile/" + level + "/" + path)
}

func width(count, index int64) int64 {
	if count-index*256 < 256 {
		return count - index*256
	}
	return 256
}

// readEntries appends the entries from one size to another, the first bundle as far as it is new.
func readEntries(from, to int64) {
	for index := from / 256; index*256 < to; index++ {
		data := tile("entries", index, width(to, index))
		for i := index * 256; len(data) > 0; i++ {
			if len(data) < 2 || len(data) < 2+int(binary.BigEndian.Uint16(data)) || i >= to {
				log.Fatalf("entry %d is cut short, or one too many", i)
			}
			entry := data[2 : 2+int(binary.BigEndian.Uint16(data))]
			data = data[2+len(entry):]
			if i < from {
				if tlog.RecordHash(entry) != stored[tlog.StoredHashIndex(0, i)] {
					log.Fatalf("entry %d is another than before", i)
				}
				continue
			}
			more, err := tlog.StoredHashes(i, entry, stored)
			check(err)
			stored = append(stored, more...)
		}
	}
}

// checkTiles compares every hash tile with the hashes of the entries.
func checkTiles(size int64) {
	for level := 0; size>>(8*level) > 0; level++ {
		count := size >> (8 * level)
		for index := int64(0); index*256 < count; index++ {
			data := tile(strconv.Itoa(level), index, width(count, index))
			for i := int64(0); i < width(count, index); i++ {
				want := stored[tlog.StoredHashIndex(8*level, index*256+i)]
				if int64(len(data)) != width(count, index)*32 || string(data[i*32:i*32+32]) != string(want[:]) {
					log.Fatalf("tile %d of level %d is not the hash of the entries", index, level)
				}
			}
		}
	}
}

// checkOlder computes an older root again and has the server prove that this tree begins with that one.
func checkOlder(old, now tlog.Tree) {
	again, err := tlog.TreeHash(old.N, stored)
	check(err)
	if again != old.Hash {
		log.Fatalf("the root of size %d is another than the one signed then", old.N)
	}
	var answer struct{ Proof []string }
	check(json.Unmarshal(get(fmt.Sprintf("/log/consistency/%d/%d", old.N, now.N)), &answer))
	var proof tlog.TreeProof
	for _, line := range answer.Proof {
		hash, err := tlog.ParseHash(line)
		check(err)
		proof = append(proof, hash)
	}
	check(tlog.CheckTree(proof, now.N, now.Hash, old.N, old.Hash))
}

func look(verifier note.Verifier) {
	signed, err := note.Open(get("/checkpoint"), note.VerifierList(verifier))
	check(err)
	lines := strings.Split(signed.Text, "\n")
	if len(lines) < 4 || lines[0] != verifier.Name() {
		log.Fatalf("not a checkpoint of %s", verifier.Name())
	}
	size, err := strconv.ParseInt(lines[1], 10, 64)
	check(err)
	hash, err := tlog.ParseHash(lines[2])
	check(err)
	from := int64(0)
	if len(seen) > 0 {
		from = seen[len(seen)-1].N
	}
	if size < from {
		log.Fatalf("the log shrank from %d to %d", from, size)
	}
	readEntries(from, size)
	root, err := tlog.TreeHash(size, stored)
	check(err)
	if root != hash {
		log.Fatalf("the entries give the root %v, the checkpoint says %v", root, hash)
	}
	checkTiles(size)
	now := tlog.Tree{N: size, Hash: hash}
	for _, old := range seen {
		checkOlder(old, now)
	}
	seen = append(seen, now)
	fmt.Println("ok", size)
}

func main() {
	log.SetFlags(0)
	base = os.Args[1]
	verifier, err := note.NewVerifier(os.Args[2])
	check(err)
	for input := bufio.NewScanner(os.Stdin); input.Scan(); {
		look(verifier)
	}
}
