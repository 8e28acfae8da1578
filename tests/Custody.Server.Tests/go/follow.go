// Follows a running log (c2sp.org/tlog-tiles) with Go's own x/mod packages and nothing of this project: follow URL VKEY.
// Each line on standard input is one look. The checkpoint's signature is verified; every hash tile is fetched and led up to its root (by tlog.TileHashReader);
// every entry is fetched and is the leaf at its place; each root seen before is computed again from this tree, and follows from it by the server's own proof
// too. Answers "ok SIZE", or ends with the reason and exit code 1.
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

var seen []tlog.Tree

func must[T any](value T, err error) T {
	if err != nil {
		log.Fatal(err)
	}
	return value
}

func get(path string) []byte {
	answer := must(http.Get(os.Args[1] + path))
	defer answer.Body.Close()
	if answer.StatusCode != 200 {
		log.Fatalf("%s: %s", path, answer.Status)
	}
	return must(io.ReadAll(io.LimitReader(answer.Body, 1<<20)))
}

// tile fetches a tile or bundle, its number in groups of three digits (tlog-tiles, "Merkle Tree").
func tile(level string, index int64, width int) []byte {
	path := fmt.Sprintf("%03d", index%1000)
	for index /= 1000; index > 0; index /= 1000 {
		path = fmt.Sprintf("x%03d/%s", index%1000, path)
	}
	if width < 256 {
		path += fmt.Sprintf(".p/%d", width)
	}
	return get("/tile/" + level + "/" + path)
}

type tiles struct{}

func (tiles) Height() int                     { return 8 }
func (tiles) SaveTiles([]tlog.Tile, [][]byte) {}
func (tiles) ReadTiles(asked []tlog.Tile) (data [][]byte, err error) {
	for _, t := range asked {
		data = append(data, tile(strconv.Itoa(t.L), t.N, t.W))
	}
	return data, nil
}

// checkEntries holds one bundle of entries against the leaves of the tree.
func checkEntries(tree tlog.HashReader, index int64, width int) {
	data := tile("entries", index, width)
	var places []int64
	var hashes []tlog.Hash
	for len(data) >= 2 && len(data) >= 2+int(binary.BigEndian.Uint16(data)) {
		places = append(places, tlog.StoredHashIndex(0, index*256+int64(len(places))))
		hashes = append(hashes, tlog.RecordHash(data[2:2+binary.BigEndian.Uint16(data)]))
		data = data[2+binary.BigEndian.Uint16(data):]
	}
	if len(data) > 0 || len(places) != width || fmt.Sprint(hashes) != fmt.Sprint(must(tree.ReadHashes(places))) {
		log.Fatalf("the entries of bundle %d are not the leaves of the tree", index)
	}
}

func checkOlder(old, now tlog.Tree, tree tlog.HashReader) {
	if must(tlog.TreeHash(old.N, tree)) != old.Hash {
		log.Fatalf("the root of size %d is another than the one signed then", old.N)
	}
	var answer struct{ Proof []string }
	must(0, json.Unmarshal(get(fmt.Sprintf("/log/consistency/%d/%d", old.N, now.N)), &answer))
	var proof tlog.TreeProof
	for _, line := range answer.Proof {
		proof = append(proof, must(tlog.ParseHash(line)))
	}
	must(0, tlog.CheckTree(proof, now.N, now.Hash, old.N, old.Hash))
}

func look(verifier note.Verifier) {
	lines := strings.Split(must(note.Open(get("/checkpoint"), note.VerifierList(verifier))).Text, "\n")
	if len(lines) < 4 || lines[0] != verifier.Name() {
		log.Fatalf("not a checkpoint of %s", verifier.Name())
	}
	now := tlog.Tree{N: must(strconv.ParseInt(lines[1], 10, 64)), Hash: must(tlog.ParseHash(lines[2]))}
	tree := tlog.TileHashReader(now, tiles{})
	for index := int64(0); index*256 < now.N; index++ {
		width := now.N - index*256
		if width > 256 {
			width = 256
		}
		checkEntries(tree, index, int(width))
	}
	for _, old := range seen {
		checkOlder(old, now, tree) // also refuses one that is larger
	}
	seen = append(seen, now)
	fmt.Println("ok", now.N)
}

func main() {
	log.SetFlags(0)
	verifier := must(note.NewVerifier(os.Args[2]))
	for input := bufio.NewScanner(os.Stdin); input.Scan(); {
		look(verifier)
	}
}
