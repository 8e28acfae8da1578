// Verifies a log kept as files in the layout of c2sp.org/tlog-tiles, with Go's own x/mod packages and nothing of this project:
//
//	verify FOLDER
//
// FOLDER holds vkey, checkpoint, tile/entries/..., tile/<L>/..., and if wanted proofs/*.tlog-proof and consistency (old size, old root,
// proof, one to a line). Exit 0 only if the checkpoint's signature holds, the root recomputed from the entries is the checkpoint's, every
// hash tile holds the recomputed hashes, and every proof is right.
package main

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"golang.org/x/mod/sumdb/note"
	"golang.org/x/mod/sumdb/tlog"
)

var (
	root   string
	stored []tlog.Hash
)

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

func read(name string) []byte {
	data, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(name)))
	check(err)
	return data
}

func hashes(indexes []int64) ([]tlog.Hash, error) {
	out := make([]tlog.Hash, len(indexes))
	for i, index := range indexes {
		out[i] = stored[index]
	}
	return out, nil
}

// tilePath spells a tile's address: three digits to a part, all but the last after an x, the width of a partial tile at the end.
func tilePath(level string, index, width int64) string {
	path := fmt.Sprintf("%03d", index%1000)
	for index /= 1000; index > 0; index /= 1000 {
		path = fmt.Sprintf("x%03d/%s", index%1000, path)
	}
	if width < 256 {
		path += fmt.Sprintf(".p/%d", width)
	}
	return "tile/" + level + "/" + path
}

// tiles calls do for every tile of a level that holds count hashes.
func tiles(level string, count int64, do func(first, width int64, data []byte)) {
	for first := int64(0); first < count; first += 256 {
		width := count - first
		if width > 256 {
			width = 256
		}
		do(first, width, read(tilePath(level, first/256, width)))
	}
}

func parse(checkpoint string) (string, int64, tlog.Hash) {
	lines := strings.Split(checkpoint, "\n")
	if len(lines) < 4 {
		log.Fatal("checkpoint has too few lines")
	}
	size, err := strconv.ParseInt(lines[1], 10, 64)
	check(err)
	hash, err := tlog.ParseHash(lines[2])
	check(err)
	return lines[0], size, hash
}

func readEntries(size int64) {
	tiles("entries", size, func(first, width int64, data []byte) {
		for i := int64(0); i < width; i++ {
			if len(data) < 2 || len(data) < 2+int(binary.BigEndian.Uint16(data)) {
				log.Fatalf("entry %d is cut short", first+i)
			}
			length := int(binary.BigEndian.Uint16(data))
			more, err := tlog.StoredHashes(first+i, data[2:2+length], tlog.HashReaderFunc(hashes))
			check(err)
			stored = append(stored, more...)
			data = data[2+length:]
		}
		if len(data) > 0 {
			log.Fatalf("bytes follow the entries from %d on", first)
		}
	})
}

func checkTiles(size int64) {
	for level := 0; size>>(8*level) > 0; level++ {
		tiles(strconv.Itoa(level), size>>(8*level), func(first, width int64, data []byte) {
			var want []byte
			for i := int64(0); i < width; i++ {
				hash := stored[tlog.StoredHashIndex(8*level, first+i)]
				want = append(want, hash[:]...)
			}
			if !bytes.Equal(want, data) {
				log.Fatalf("tile of level %d from hash %d on is wrong", level, first)
			}
		})
	}
}

func parseHashes(lines []string) (out []tlog.Hash) {
	for _, line := range lines {
		hash, err := tlog.ParseHash(line)
		check(err)
		out = append(out, hash)
	}
	return
}

func checkProofs(size int64, treeHash tlog.Hash) {
	names, err := filepath.Glob(filepath.Join(root, "proofs", "*.tlog-proof"))
	check(err)
	for _, name := range names {
		data, err := os.ReadFile(name)
		check(err)
		parts := strings.SplitN(string(data), "\n\n", 2)
		lines := strings.Split(parts[0], "\n")
		if lines[0] != "c2sp.org/tlog-proof@v1" || parts[1] != string(read("checkpoint")) {
			log.Fatalf("%s: not a proof under this checkpoint", name)
		}
		index, err := strconv.ParseInt(strings.TrimPrefix(lines[1], "index "), 10, 64)
		check(err)
		check(tlog.CheckRecord(parseHashes(lines[2:]), size, treeHash, index, stored[tlog.StoredHashIndex(0, index)]))
	}
	if data, err := os.ReadFile(filepath.Join(root, "consistency")); err == nil {
		lines := strings.Split(strings.TrimSuffix(string(data), "\n"), "\n")
		old, err := strconv.ParseInt(lines[0], 10, 64)
		check(err)
		check(tlog.CheckTree(parseHashes(lines[2:]), size, treeHash, old, parseHashes(lines[1:2])[0]))
	}
}

func main() {
	log.SetFlags(0)
	root = os.Args[1]
	verifier, err := note.NewVerifier(strings.TrimSpace(string(read("vkey"))))
	check(err)
	signed, err := note.Open(read("checkpoint"), note.VerifierList(verifier))
	check(err)
	origin, size, treeHash := parse(signed.Text)
	if origin != verifier.Name() {
		log.Fatalf("origin %q is not the key's name %q", origin, verifier.Name())
	}
	readEntries(size)
	computed, err := tlog.TreeHash(size, tlog.HashReaderFunc(hashes))
	check(err)
	if computed != treeHash {
		log.Fatalf("root of the entries is %v, the checkpoint says %v", computed, treeHash)
	}
	checkTiles(size)
	checkProofs(size, treeHash)
	fmt.Printf("ok %d %s\n", size, base64.StdEncoding.EncodeToString(computed[:]))
}
