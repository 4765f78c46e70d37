import { inflateRawSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { bundleViewer } from '../../packages/card/build-viewer.mjs';
import { VIEWER_SCRIPT } from '../../packages/card/src/viewer-script.js';

describe('the viewer that the card carries', () => {
  const script = inflateRawSync(Buffer.from(VIEWER_SCRIPT, 'base64')).toString();

  it('is the one its sources give (if not: node packages/card/build-viewer.mjs)', async () => {
    // Compared unpacked: another release of zlib may pack the same script otherwise.
    expect(script === (await bundleViewer())).toBe(true);
  });

  it('is small enough to travel in every card, and loads nothing', () => {
    expect(VIEWER_SCRIPT.length).toBeLessThan(200_000);
    expect(script).not.toMatch(/\bimport\s*\(|importScripts|<\/script/i);
  });
});
