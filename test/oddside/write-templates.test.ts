import { isOddsideError } from '@oddside/core';
import { writeTemplates } from 'oddside';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { planBracket } from '../card/sample-job.js';

describe('writeTemplates', () => {
  const folder = mkdtempSync(join(tmpdir(), 'oddside-templates-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('writes sheets and pages, or one DXF a template, and names them', async () => {
    const job = await planBracket({ picturePx: 0 });
    const drawings = await writeTemplates(job, join(folder, 'a b'), 'svg');
    expect(drawings.map((file) => basename(file))).toEqual(
      expect.arrayContaining(['template-outline.svg', 'template-flask-page-1.svg']),
    );
    expect(readdirSync(join(folder, 'a b')).sort()).toEqual(drawings.map((file) => basename(file)).sort());
    const [outline] = await writeTemplates(job, join(folder, 'cut'), 'dxf');
    expect(basename(outline)).toBe('template-outline.dxf');
    expect(readFileSync(outline, 'utf8')).toMatch(/POLYLINE[\s\S]*EOF\r\n$/);
    await expect(writeTemplates(job, folder, 'pdf' as 'svg')).rejects.toMatchObject({ code: 'bad-option' });
    writeFileSync(join(folder, 'file'), '');
    const error = await writeTemplates(job, join(folder, 'file'), 'dxf').catch((thrown: unknown) => thrown);
    expect(isOddsideError(error) && error.code).toBe('unwritable-target');
  });
});
