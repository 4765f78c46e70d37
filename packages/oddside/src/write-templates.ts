/** A job's templates as files. Needs Node. */
import { renderTemplates, templateToDxf, type MouldCardJob } from '@oddside/card';
import { OddsideError } from '@oddside/core';

/**
 * Writes the templates of a job into a folder, which is made when it is not there: as `svg` the whole sheet of each and its
 * A4 pages, as `dxf` the whole sheet.
 *
 * @returns The files, in the order of the templates.
 * @throws OddsideError `bad-option`, `unwritable-target`.
 */
export async function writeTemplates(job: MouldCardJob, folder: string, kind: 'svg' | 'dxf'): Promise<string[]> {
  if (kind !== 'svg' && kind !== 'dxf') {
    throw new OddsideError('bad-option', `Templates are written as svg or dxf, but "${String(kind)}" came.`);
  }
  const { mkdir, writeFile } = await import('node:fs/promises');
  const { join } = await import('node:path');
  const files = renderTemplates(job).flatMap((template) => {
    const name = `template-${template.id}`;
    if (kind === 'dxf') return [{ name: `${name}.dxf`, text: templateToDxf(template) }];
    const pages = template.pages.map((text, i) => ({ name: `${name}-page-${i + 1}.svg`, text }));
    return [{ name: `${name}.svg`, text: template.sheet }, ...pages];
  });
  try {
    await mkdir(folder, { recursive: true });
    for (const { name, text } of files) await writeFile(join(folder, name), text);
  } catch (cause) {
    throw new OddsideError(
      'unwritable-target',
      `The templates could not be written into ${folder} (${(cause as Error).message}). Choose a folder you may write to.`,
      { folder },
      { cause },
    );
  }
  return files.map(({ name }) => join(folder, name));
}
