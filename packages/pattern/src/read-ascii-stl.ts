/** Text STL. The keywords lead; everything else on the way is skipped, and what was unusable is counted. */
import { OddsideError, type Finding, type Steps } from '@oddside/core';
import { isCoordinate, type RawMesh } from './raw-mesh.js';
import { droppedForNumbers } from './read-binary-stl.js';
import { ByteScanner } from './scan-bytes.js';
import { takeFacet } from './take-facet.js';
import { CornerWelder } from './weld-corners.js';

/** Words between two yields: about 5 ms of work. */
const BATCH = 200000;
/** Words of a facet as it is usually written. */
const FACET_WORDS = 21;

/** What has been read so far. */
class FacetReader {
  readonly scanner: ByteScanner;
  readonly welder: CornerWelder;
  triangles: Uint32Array;
  kept = 0;
  /** Facets left out for a number that is none, and for not having three corners. */
  badNumbers = 0;
  badCorners = 0;
  solids = 0;
  closedSolids = 0;
  strangeWords = 0;
  name = '';
  done = false;
  #inFacet = false;
  #corners = 0;
  #numbersGood = true;
  readonly #corner = new Float64Array(9);

  constructor(bytes: Uint8Array) {
    this.scanner = new ByteScanner(bytes);
    // A facet takes at least about 90 bytes of text and usually 200 to 260.
    const guess = Math.ceil(bytes.length / 240) + 16;
    this.welder = new CornerWelder(Math.ceil(guess / 2));
    this.triangles = new Uint32Array(guess * 3);
  }

  /** Takes up to {@link BATCH} words. */
  readBatch(): void {
    const { scanner } = this;
    for (let words = 0; words < BATCH; words++) {
      if (!this.#inFacet) words += FACET_WORDS * this.#takeFacets((BATCH - words) / FACET_WORDS);
      if (!scanner.word()) {
        this.done = true;
        return;
      }
      const first = scanner.bytes[scanner.start] | 32;
      if (first === 118 && scanner.is('vertex')) this.#readCorner();
      else if (first === 102 && scanner.is('facet')) this.#startFacet();
      else if (first === 101 && scanner.is('endfacet')) this.#endFacet();
      else if (first === 110 && scanner.is('normal')) this.#skipNormal();
      else if (first === 111 && scanner.is('outer')) continue;
      else if (first === 108 && scanner.is('loop')) continue;
      else if (first === 101 && scanner.is('endloop')) continue;
      else if (first === 115 && scanner.is('solid')) this.#startSolid();
      else if (first === 101 && scanner.is('endsolid')) this.#endSolid();
      else this.strangeWords++;
    }
  }

  /** True when the text ended inside a facet. */
  get openFacet(): boolean {
    return this.#inFacet;
  }

  /** Takes facets of the usual shape as long as they last, up to so many, and says how many there were. */
  #takeFacets(most: number): number {
    const { bytes } = this.scanner;
    const corners = this.#corner;
    let { at } = this.scanner;
    let taken = 0;
    while (taken < most) {
      const end = takeFacet(bytes, at, corners);
      if (end < 0) break;
      at = end;
      this.#keepFacet();
      taken++;
    }
    this.scanner.at = at;
    return taken;
  }

  #keepFacet(): void {
    const slot = this.kept * 3;
    if (slot + 3 > this.triangles.length) {
      const larger = new Uint32Array(Math.ceil(this.kept * 1.5 + 16) * 3);
      larger.set(this.triangles);
      this.triangles = larger;
    }
    this.welder.addFacet(this.#corner, this.triangles, slot);
    this.kept++;
  }

  #startFacet(): void {
    if (this.#inFacet) this.#endFacet();
    this.#inFacet = true;
    this.#corners = 0;
    this.#numbersGood = true;
  }

  #readCorner(): void {
    const { scanner } = this;
    const slot = Math.min(this.#corners, 2) * 3;
    for (let i = 0; i < 3; i++) {
      const back = scanner.at;
      if (!scanner.word()) {
        this.#numbersGood = false;
        break;
      }
      const value = scanner.number();
      if (!isCoordinate(value)) {
        this.#numbersGood = false;
        // "vertex 0 10" followed by the next keyword: a number is missing, the keyword still counts.
        if (isKeyword(scanner)) {
          scanner.at = back;
          break;
        }
      }
      this.#corner[slot + i] = value;
    }
    this.#corners++;
    // A corner outside any facet is kept count of as a facet without three corners.
    if (!this.#inFacet) this.#inFacet = true;
  }

  #endFacet(): void {
    if (!this.#inFacet) return;
    this.#inFacet = false;
    const corners = this.#corners;
    this.#corners = 0;
    if (!this.#numbersGood) {
      this.badNumbers++;
      this.#numbersGood = true;
      return;
    }
    if (corners !== 3) {
      this.badCorners++;
      return;
    }
    this.#keepFacet();
  }

  #skipNormal(): void {
    const { scanner } = this;
    for (let i = 0; i < 3; i++) {
      const back = scanner.at;
      if (!scanner.word()) return;
      if (isKeyword(scanner)) {
        scanner.at = back;
        return;
      }
    }
  }

  #startSolid(): void {
    this.solids++;
    const name = this.#skipName();
    if (this.solids === 1) this.name = name;
  }

  #endSolid(): void {
    if (this.#inFacet) this.#endFacet();
    this.closedSolids++;
    this.#skipName();
  }

  /** The rest of the line is a name, whatever words it holds; only "facet normal" or "solid" on it ends it early. */
  #skipName(): string {
    const { scanner } = this;
    const words: string[] = [];
    let back = scanner.at;
    while (scanner.wordOnLine()) {
      if (scanner.is('facet')) {
        const after = scanner.at;
        const word = scanner.text();
        if (scanner.word() && scanner.is('normal')) {
          scanner.at = back;
          break;
        }
        scanner.at = after;
        if (words.length < 8) words.push(word);
      } else if (words.length < 8) {
        words.push(scanner.text());
      }
      back = scanner.at;
    }
    return words.join(' ');
  }
}

function isKeyword(scanner: ByteScanner): boolean {
  const first = scanner.bytes[scanner.start] | 32;
  if (first === 118) return scanner.is('vertex');
  if (first === 102) return scanner.is('facet');
  if (first === 111) return scanner.is('outer');
  if (first !== 101) return false;
  return scanner.is('endloop') || scanner.is('endfacet') || scanner.is('endsolid');
}

/**
 * Reads a text STL: any case, any line end, exponents, several solids in one file, names with any words. A facet that has
 * not exactly three usable corners is left out and counted; the others keep their place.
 */
export function* readAsciiStl(bytes: Uint8Array): Steps<RawMesh> {
  const reader = new FacetReader(bytes);
  while (!reader.done) {
    reader.readBatch();
    yield reader.scanner.at / Math.max(1, bytes.length);
  }
  const cut = reader.openFacet;
  const findings = findingsOf(reader, cut);
  if (reader.kept === 0 && reader.solids === 0) {
    throw new OddsideError(
      'bad-file',
      'A text STL was expected ("solid", then "facet", "vertex", ...), but no facet was found. Check the file.',
      { format: 'stl', offset: 0 },
    );
  }
  return {
    positions: reader.welder.finish(),
    triangles: reader.triangles.slice(0, reader.kept * 3),
    name: reader.name,
    findings,
  };
}

function findingsOf(reader: FacetReader, cut: boolean): Finding[] {
  const findings: Finding[] = [];
  const { kept, badNumbers, badCorners } = reader;
  if (badNumbers > 0) findings.push(droppedForNumbers(badNumbers, kept + badNumbers + badCorners));
  if (badCorners > 0) {
    findings.push({
      code: 'facets-dropped',
      severity: 'problem',
      message: `${badCorners} facets do not have exactly three corners and were left out; they may leave holes.`,
      remedy: 'Mend the pattern, or export the file again.',
    });
  }
  if (cut || reader.closedSolids < reader.solids) {
    const where = cut ? 'in the middle of a facet, which was left out' : 'without "endsolid"';
    findings.push({
      code: 'file-cut-short',
      severity: cut ? 'problem' : 'warning',
      message: `The text ends ${where}, after ${kept} triangles (byte ${reader.scanner.bytes.length}).`,
      remedy: 'If the pattern is not closed, the file was cut off: copy or export it again.',
    });
  }
  if (reader.strangeWords > 0) {
    findings.push({
      code: 'strange-words',
      severity: 'note',
      message: `${reader.strangeWords} words in the file do not belong to an STL and were skipped.`,
    });
  }
  if (reader.solids > 1) {
    findings.push({
      code: 'several-solids',
      severity: 'note',
      message: `The file holds ${reader.solids} solids; they were read as one pattern.`,
    });
  }
  return findings;
}
