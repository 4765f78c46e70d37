/** 3MF. */
import { strToU8, zipSync } from 'fflate';
import { TextPieces } from './encode-text.js';
import type { Pattern } from './pattern.js';
import { CORE_3MF, MODEL_RELATION } from './names-3mf.js';

const XML = '<?xml version="1.0" encoding="UTF-8"?>\n';
const TYPES =
  `${XML}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
  '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>' +
  '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>';
const RELATIONS =
  `${XML}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
  `<Relationship Target="/3D/3dmodel.model" Id="rel0" Type="${MODEL_RELATION}"/></Relationships>`;
/** The same bytes for the same pattern, whenever written. The earliest date a zip can hold. */
const WHEN = '1980-01-01T00:00:00';

/** Writes a 3MF with its unit, millimetres. Coordinates are written in full. */
export function encode3mf({ name, positions, triangles }: Pattern): Uint8Array {
  const model = new TextPieces();
  model.add(`${XML}<model unit="millimeter" xml:lang="en" xmlns="${CORE_3MF}"><resources>`);
  model.add(`<object id="1" type="model" name="${escapeXml(name)}"><mesh><vertices>\n`);
  for (let i = 0; i < positions.length; i += 3) {
    model.add(`<vertex x="${positions[i]}" y="${positions[i + 1]}" z="${positions[i + 2]}"/>\n`);
  }
  model.add('</vertices><triangles>\n');
  for (let t = 0; t < triangles.length; t += 3) {
    // The format forbids triangles with a repeated corner.
    const [a, b, c] = [triangles[t], triangles[t + 1], triangles[t + 2]];
    if (a !== b && b !== c && c !== a) model.add(`<triangle v1="${a}" v2="${b}" v3="${c}"/>\n`);
  }
  model.add('</triangles></mesh></object></resources><build><item objectid="1"/></build></model>\n');
  return zipSync(
    {
      '[Content_Types].xml': strToU8(TYPES),
      '_rels/.rels': strToU8(RELATIONS),
      '3D/3dmodel.model': model.bytes(),
    },
    { level: 6, mtime: WHEN },
  );
}

function escapeXml(text: string): string {
  const safe = text.replaceAll(/[^\t\n\r -\uD7FF\uE000-\uFFFD]/g, '?').slice(0, 200);
  return safe.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
}
