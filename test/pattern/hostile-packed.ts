/** Hostile 3MF and glTF. */
import { box, sphere } from '../helpers/shapes.js';
import { partly, refused, whole, type HostileCase } from './hostile.js';
import { CORE, glb, gltfOf, meshXml, modelXml, objectXml, relations, threeMf, zip, type Gltf } from './other-bytes.js';
import { bytesOf } from './stl-bytes.js';

const cube = box([0, 0, 0], [10, 20, 30]);
const mesh = meshXml(cube);
const object = objectXml(1, mesh);
const item = '<item objectid="1"/>';
const model = modelXml(object, item);
const mf =
  (content: string, ...more: Parameters<typeof threeMf>[1] & object) =>
  (): Uint8Array =>
    threeMf(content, more);
const use = (transform: string) => modelXml(object, `<item objectid="1" transform="${transform}"/>`);
const component = (id: number, transform = ''): string =>
  `<component objectid="${id}"${transform && ` transform="${transform}"`}/>`;
const group = (id: number, ...inside: string[]): string => objectXml(id, `<components>${inside.join('')}</components>`);
const doublings = (n: number): string => {
  let resources = object;
  for (let i = 2; i <= n; i++) resources += group(i, component(i - 1), component(i - 1));
  return modelXml(resources, `<item objectid="${n}"/>`);
};
const chain = (n: number): string => {
  let resources = object;
  for (let i = 2; i <= n; i++) resources += group(i, component(i - 1));
  return modelXml(resources, `<item objectid="${n}"/>`);
};
const files =
  (...entries: Parameters<typeof zip>[0]) =>
  (): Uint8Array =>
    zip(entries);
const rels = { name: '_rels/.rels', content: relations() };
const part = (more: object = {}): Parameters<typeof zip>[0][number] => ({
  name: '3D/3dmodel.model',
  content: model,
  ...more,
});

export const mfCases: readonly HostileCase[] = [
  whole('plain', mf(model)),
  whole('stored', () => threeMf(model, [], true)),
  whole('inch', mf(modelXml(object, item, 'unit="inch"')), [], 6000 * 25.4 ** 3),
  whole('micron', mf(modelXml(object, item, 'unit="micron"')), [], 6000 * 1e-9),
  whole('no unit means millimetres', mf(modelXml(object, item, ''))),
  whole(
    'an inch file with a move',
    mf(modelXml(object, '<item objectid="1" transform="1 0 0 0 1 0 0 0 1 5 5 5"/>', 'unit="inch"')),
    [],
    6000 * 25.4 ** 3,
  ),
  whole('a transform over several lines', mf(use('1 0 0\n 0 1  0\t0 0 1 7 8 9'))),
  whole('a scaled item', mf(use('2 0 0 0 1 0 0 0 1 0 0 0')), [], 12000),
  whole('a mirrored item stays outward', mf(use('-1 0 0 0 1 0 0 0 1 0 0 0'))),
  whole('a sheared item', mf(use('1 0 0 0.5 1 0 0 0 1 0 0 0'))),
  whole(
    'two items',
    mf(modelXml(object, `${item}<item objectid="1" transform="1 0 0 0 1 0 0 0 1 50 0 0"/>`)),
    [],
    12000,
  ),
  whole(
    'components three deep, mirrored and moved',
    mf(
      modelXml(
        object +
          group(2, component(1, '-1 0 0 0 1 0 0 0 1 0 0 0'), component(1, '1 0 0 0 1 0 0 0 1 40 0 0')) +
          group(3, component(2), component(2, '1 0 0 0 1 0 0 0 1 0 90 0')),
        '<item objectid="3"/>',
      ),
    ),
    [],
    24000,
  ),
  whole(
    'a namespace prefix',
    mf(model.replaceAll('<', '<m:').replaceAll('<m:/', '</m:').replaceAll('<m:?', '<?').replace('xmlns=', 'xmlns:m=')),
  ),
  whole(
    'another root path',
    files({ name: '_rels/.rels', content: relations('/other/part.model') }, part({ name: 'other/part.model' })),
  ),
  whole(
    'a root path in another case with %20',
    files({ name: '_rels/.rels', content: relations('/3D/My%20Part.model') }, part({ name: '3d/my part.model' })),
  ),
  whole('no relations, one model', files(part()), ['relations-missing']),
  whole('no build', mf(modelXml(object, '')), ['nothing-to-build']),
  whole(
    'supports are left out',
    mf(modelXml(object + `<object id="2" type="support">${mesh}</object>`, `${item}<item objectid="2"/>`)),
    ['supports-left-out'],
  ),
  whole(
    'an item flattened by its transform',
    mf(modelXml(object, `${item}<item objectid="1" transform="1 0 0 0 1 0 0 0 0 0 0 0"/>`)),
    ['parts-flattened'],
  ),
  whole(
    'a texture bomb that nothing needs',
    mf(model, { name: '3D/bomb.png', content: new Uint8Array(30e6), lie: { crc: 0 } }),
  ),
  whole(
    'a material extension',
    mf(
      modelXml(
        object,
        item,
        'unit="millimeter" requiredextensions="m" xmlns:m="http://schemas.microsoft.com/3dmanufacturing/material/2015/02"',
      ),
    ),
  ),
  whole(
    'an object in another part (production)',
    mf(
      modelXml(
        group(5, component(1).replace('/>', ' p:path="/3D/Objects/a.model"/>')),
        '<item objectid="5"/>',
        'requiredextensions="p" xmlns:p="http://schemas.microsoft.com/3dmanufacturing/production/2015/06"',
      ),
      { name: '3D/Objects/a.model', content: modelXml(object, '') },
    ),
  ),
  whole('a byte order mark', mf(`\ufeff${model}`)),
  whole('UTF-16', () => threeMf(Buffer.from(`\ufeff${model.replace('UTF-8', 'UTF-16')}`, 'utf16le'))),
  partly('corner 8 of 8', 11, ['corners-missing'], mf(model.replace(/v1="\d+"/, 'v1="8"'))),
  partly('corner -1', 11, ['corners-missing'], mf(model.replace(/v1="\d+"/, 'v1="-1"'))),
  partly('corner in words', 11, ['corners-missing'], mf(model.replace(/v1="\d+"/, 'v1="two"'))),
  partly('a corner missing', 11, ['corners-missing'], mf(model.replace(/ v3="\d+"/, ''))),
  ...['NaN', '10,5', '', '0x10', 'INF', '1e999'].map((word) =>
    partly(
      `coordinate "${word}"`,
      8,
      ['triangles-dropped'],
      mf(model.replace('x="10" y="0" z="0"', `x="${word}" y="0" z="0"`)),
    ),
  ),
  refused('an unknown unit', 'bad-file', mf(modelXml(object, item, 'unit="cubit"')), /cubit/),
  refused(
    'an unknown required extension',
    'unsupported-file',
    mf(modelXml(object, item, 'requiredextensions="b" xmlns:b="http://example.org/beams"')),
    /beams/,
  ),
  refused(
    'a required extension without a namespace',
    'unsupported-file',
    mf(modelXml(object, item, 'requiredextensions="zz"')),
    /zz/,
  ),
  refused('a transform of eleven numbers', 'bad-file', mf(use('1 0 0 0 1 0 0 0 1 0 0')), /twelve/),
  refused('a transform with NaN', 'bad-file', mf(use('1 0 0 0 1 0 0 0 NaN 0 0 0')), /twelve/),
  refused('an object in itself', 'bad-file', mf(modelXml(group(1, component(1)), item)), /contains itself/),
  refused(
    'a ring of objects',
    'bad-file',
    mf(modelXml(group(1, component(2)) + group(2, component(3)) + group(3, component(1)), item)),
    /contains itself/,
  ),
  refused('a chain of 20,000 objects', 'bad-file', mf(chain(20000)), /nested/),
  refused('thirty doublings', 'bad-file', mf(doublings(30)), /triangles/),
  refused(
    'thirty doublings of nothing',
    'bad-file',
    mf(doublings(30).replace(/<triangle .*?<\/triangles>/, '</triangles>')),
    /times/,
  ),
  refused('an object that is missing', 'bad-file', mf(modelXml(object, '<item objectid="9"/>')), /object 9/),
  refused(
    'a component that is missing',
    'bad-file',
    mf(modelXml(object + group(2, component(7)), '<item objectid="2"/>')),
    /object 7/,
  ),
  refused('an item without an object', 'bad-file', mf(modelXml(object, '<item/>'))),
  refused('an id twice', 'bad-file', mf(modelXml(object + object, item)), /twice/),
  refused('an id in words', 'bad-file', mf(modelXml(objectXml('one', mesh), item)), /one/),
  refused('an empty mesh', 'no-triangles', mf(modelXml(objectXml(1, '<mesh><vertices/><triangles/></mesh>'), item))),
  refused('no model element', 'bad-file', mf('<a/>'), /model/),
  refused('the model in a namespace of its own', 'bad-file', mf(model.replace(CORE, 'http://example.org/')), /model/),
  refused('XML cut in half', 'bad-file', mf(model.slice(0, model.length / 2)), /XML/),
  refused(
    'an entity bomb',
    'bad-file',
    mf(`<!DOCTYPE m [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>${model.slice(model.indexOf('<model'))}`),
    /DOCTYPE/,
  ),
  refused('an entity that nobody declares', 'bad-file', mf(model.replace('x="10"', 'x="&ten;"'))),
  refused(
    '200,000 levels of elements',
    'bad-file',
    mf(model.replace('<resources>', `<resources>${'<a>'.repeat(2e5)}`)),
    /deep/,
  ),
  refused('a prefix that stands for nothing', 'bad-file', mf(model.replace('<resources>', '<q:a/><resources>')), /"q"/),
  refused('no relations and two models', 'bad-file', files(part(), part({ name: '3D/b.model' })), /2 model/),
  refused('relations to a missing part', 'bad-file', files(rels), /missing/),
  refused('a zip of something else', 'unsupported-file', files({ name: 'letter.txt', content: 'dear sir' }), /no 3MF/),
  refused('an empty zip', 'bad-file', () => zip([])),
  refused('cut before the directory', 'bad-file', () => threeMf(model).slice(0, -60)),
  refused('a wrong checksum', 'bad-file', files(rels, part({ lie: { crc: 1 } })), /checksum/),
  refused('a size too small', 'bad-file', files(rels, part({ lie: { size: 10 } }))),
  refused('a size too large', 'bad-file', files(rels, part({ lie: { size: 1e6 } }))),
  refused('a size of 4 GB', 'file-too-large', files(rels, part({ lie: { size: 0xfffffffe } }))),
  refused('a packed size beyond the file', 'bad-file', files(rels, part({ lie: { packedSize: 1e8 } }))),
  refused('an offset beyond the file', 'bad-file', files(rels, part({ lie: { offset: 1e8 } }))),
  refused('an offset into something else', 'bad-file', files(rels, part({ lie: { offset: 3 } }))),
  refused('encrypted', 'unsupported-file', files(rels, part({ lie: { flags: 1 } })), /encrypted/),
  refused('packed by bzip2', 'unsupported-file', files(rels, part({ lie: { method: 12 } })), /method 12/),
  refused('a part twice', 'bad-file', files(rels, part(), part()), /twice/),
  refused('packed data damaged', 'bad-file', () => {
    const bytes = threeMf(model);
    bytes.fill(0xff, 500, 560);
    return bytes;
  }),
  refused(
    'a model bomb of 200 MB',
    'file-too-large',
    () => zip([rels, part({ content: new Uint8Array(100e6).fill(32), lie: { crc: 0 } })]),
    /unpacks/,
  ),
];

const good = gltfOf(cube);
const volume = 6000 * 1e9;
const edit =
  (change: (json: Gltf) => void, bin: Uint8Array = good.bin) =>
  (): Uint8Array => {
    const json = structuredClone(good.json);
    change(json);
    return glb(json, bin);
  };
const at = (json: Gltf, list: string, index = 0): Gltf => (json[list] as Gltf[])[index];
const set = (list: string, index: number, values: Gltf) => edit((json) => Object.assign(at(json, list, index), values));
const primitive = (json: Gltf): Gltf => (at(json, 'meshes').primitives as Gltf[])[0];
const base64 = (bytes: Uint8Array): string => Buffer.from(bytes).toString('base64');

export const gltfCases: readonly HostileCase[] = [
  whole(
    'plain',
    edit(() => undefined),
    [],
    volume,
  ),
  whole(
    'one-byte indices',
    () => {
      const g = gltfOf(cube, 1);
      return glb(g.json, g.bin);
    },
    [],
    volume,
  ),
  whole(
    'four-byte indices',
    () => {
      const g = gltfOf(cube, 4);
      return glb(g.json, g.bin);
    },
    [],
    volume,
  ),
  whole('mirrored by scale', set('nodes', 0, { scale: [-1, 1, 1] }), [], volume),
  whole(
    'mirrored by matrix',
    set('nodes', 0, { matrix: [1, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1, 0, 5, 6, 7, 1] }),
    [],
    volume,
  ),
  whole('a rotation that is not of unit length', set('nodes', 0, { rotation: [0, 0, 3, 4] }), [], volume),
  whole(
    'nested nodes',
    edit((json) => {
      json.nodes = [
        { children: [1], scale: [2, 1, 1] },
        { mesh: 0, translation: [1, 0, 0] },
      ];
    }),
    [],
    2 * volume,
  ),
  whole(
    'one mesh twice',
    edit((json) => {
      json.nodes = [{ children: [1, 2] }, { mesh: 0 }, { mesh: 0, translation: [50, 0, 0] }];
    }),
    [],
    2 * volume,
  ),
  whole(
    'no scenes',
    edit((json) => {
      delete json.scenes;
      delete json.scene;
    }),
    [],
    volume,
  ),
  whole(
    'a pile of unknown chunks',
    () => {
      const b = glb(good.json, good.bin);
      const c = new Uint8Array(b.length + 12);
      c.set(b);
      new DataView(c.buffer).setUint32(8, c.length, true);
      new DataView(c.buffer).setUint32(b.length, 4, true);
      return c;
    },
    [],
    volume,
  ),
  whole(
    'an image that is nowhere',
    edit((json) => {
      json.images = [{ uri: 'http://127.0.0.1:1/a.png' }];
      json.materials = [{}];
    }),
    [],
    volume,
  ),
  whole(
    'lines and points beside',
    edit((json) => {
      (at(json, 'meshes').primitives as Gltf[]).push(
        { mode: 1, attributes: { POSITION: 0 } },
        { mode: 0, attributes: { POSITION: 0 } },
      );
    }),
    ['drawings-left-out'],
    volume,
  ),
  whole(
    'optional compression with a fallback',
    edit((json) => {
      json.extensionsUsed = ['KHR_draco_mesh_compression'];
      primitive(json).extensions = { KHR_draco_mesh_compression: {} };
    }),
    [],
    volume,
  ),
  whole(
    'a data URI in text',
    () =>
      bytesOf(
        JSON.stringify({
          ...good.json,
          buffers: [{ byteLength: good.bin.length, uri: `data:application/octet-stream;base64,${base64(good.bin)}` }],
        }),
      ),
    [],
    volume,
  ),
  partly(
    'corner 8 of 8',
    11,
    ['corners-missing'],
    edit(
      () => undefined,
      Uint8Array.from(good.bin, (b, i) => (i === 96 ? 8 : b)),
    ),
  ),
  partly(
    'a coordinate NaN',
    8,
    ['triangles-dropped'],
    edit(
      () => undefined,
      Uint8Array.from(good.bin, (b, i) => (i >= 12 && i < 16 ? [0, 0, 0xc0, 0x7f][i - 12] : b)),
    ),
  ),
  refused(
    'container version 3',
    'unsupported-file',
    () => {
      const b = glb(good.json, good.bin);
      b[4] = 3;
      return b;
    },
    /version 3/,
  ),
  refused(
    'asset version 1',
    'unsupported-file',
    edit((json) => {
      json.asset = { version: '1.0' };
    }),
  ),
  refused(
    'no asset',
    'unsupported-file',
    edit((json) => {
      delete json.asset;
    }),
  ),
  refused('cut short', 'bad-file', () => glb(good.json, good.bin).slice(0, -40), /cut off/),
  refused('twelve bytes', 'bad-file', () => glb(good.json, good.bin).slice(0, 12)),
  refused(
    'a chunk beyond the end',
    'bad-file',
    () => {
      const b = glb(good.json, good.bin);
      b[15] = 0x7f;
      return b;
    },
    /chunk/,
  ),
  refused('JSON that is none', 'bad-file', () => glb('{"asset": '), /JSON/),
  refused('JSON nested 200,000 deep', 'bad-file', () => glb('['.repeat(2e5) + ']'.repeat(2e5))),
  refused('JSON that is a list', 'bad-file', () => glb('[]')),
  refused('a node in itself', 'bad-file', set('nodes', 0, { children: [0] }), /contains itself/),
  refused(
    'a chain of 20,000 nodes',
    'bad-file',
    edit((json) => {
      json.nodes = Array.from({ length: 20000 }, (_, i) => (i < 19999 ? { children: [i + 1] } : { mesh: 0 }));
    }),
    /nested/,
  ),
  refused(
    'thirty doublings',
    'bad-file',
    edit((json) => {
      json.nodes = Array.from({ length: 30 }, (_, i) => (i < 29 ? { children: [i + 1, i + 1] } : { mesh: 0 }));
    }),
    /triangles/,
  ),
  refused(
    'a node that is missing',
    'bad-file',
    edit((json) => {
      json.scenes = [{ nodes: [7] }];
    }),
    /nodes\[7\]/,
  ),
  refused(
    'a scene that is missing',
    'bad-file',
    edit((json) => {
      json.scene = 4;
    }),
    /scenes\[4\]/,
  ),
  refused('a mesh that is missing', 'bad-file', set('nodes', 0, { mesh: 3 }), /meshes\[3\]/),
  refused(
    'an accessor that is missing',
    'bad-file',
    edit((json) => {
      primitive(json).indices = 9;
    }),
    /accessors\[9\]/,
  ),
  refused('an accessor longer than its view', 'bad-file', set('accessors', 0, { count: 9 }), /byte 108/),
  refused('a count of a million million', 'bad-file', set('accessors', 0, { count: 1e12 })),
  refused(
    'a count of a million million without a view',
    'bad-file',
    edit((json) => {
      at(json, 'accessors', 0).count = 1e12;
      delete at(json, 'accessors', 0).bufferView;
    }),
  ),
  refused('a count in words', 'bad-file', set('accessors', 0, { count: 'eight' }), /eight/),
  refused('a negative offset', 'bad-file', set('bufferViews', 0, { byteOffset: -4 }), /-4/),
  refused('a view beyond its buffer', 'bad-file', set('bufferViews', 1, { byteOffset: 160 }), /buffer of/),
  refused('a stride smaller than an element', 'bad-file', set('bufferViews', 0, { byteStride: 4 }), /stride/),
  refused('positions of the wrong type', 'bad-file', set('accessors', 0, { type: 'VEC2' }), /VEC3/),
  refused('float indices', 'bad-file', set('accessors', 1, { componentType: 5126 }), /5126/),
  refused('an unknown component type', 'bad-file', set('accessors', 0, { componentType: 1 })),
  refused('a buffer shorter than it says', 'bad-file', set('buffers', 0, { byteLength: 4096 }), /4096/),
  refused(
    'an external buffer',
    'unsupported-file',
    set('buffers', 0, { uri: 'http://127.0.0.1:1/secret.bin' }),
    /buffers/,
  ),
  refused(
    'base64 that is none',
    'bad-file',
    set('buffers', 0, { uri: 'data:application/octet-stream;base64,****' }),
    /base64/,
  ),
  refused(
    'draco',
    'unsupported-file',
    edit((json) => {
      json.extensionsRequired = ['KHR_draco_mesh_compression'];
    }),
    /draco/,
  ),
  refused(
    'meshopt',
    'unsupported-file',
    set('bufferViews', 0, { extensions: { EXT_meshopt_compression: {} } }),
    /meshopt/,
  ),
  refused(
    'an unknown required extension',
    'unsupported-file',
    edit((json) => {
      json.extensionsRequired = ['X_magic'];
    }),
    /X_magic/,
  ),
  refused(
    'a matrix with NaN',
    'bad-file',
    set('nodes', 0, { matrix: [null, ...Array.from({ length: 15 }, () => 1)] }),
    /matrix/,
  ),
  refused('a rotation of zeros', 'bad-file', set('nodes', 0, { rotation: [0, 0, 0, 0] }), /rotation/),
  refused(
    'mode 9',
    'bad-file',
    edit((json) => {
      primitive(json).mode = 9;
    }),
    /mode/,
  ),
  refused(
    'points only',
    'no-triangles',
    edit((json) => {
      primitive(json).mode = 0;
    }),
  ),
  refused(
    'no meshes',
    'no-triangles',
    edit((json) => {
      json.nodes = [{}];
    }),
  ),
  refused(
    'no positions',
    'bad-file',
    edit((json) => {
      primitive(json).attributes = {};
    }),
    /positions/,
  ),
  refused(
    'sparse beyond its base',
    'bad-file',
    set('accessors', 0, {
      sparse: { count: 1, indices: { bufferView: 0, componentType: 5125, byteOffset: 12 }, values: { bufferView: 0 } },
    }),
    /replaces element/,
  ),
  refused(
    'three thousand meshes of the same bytes',
    'bad-file',
    () => {
      const { json, bin } = gltfOf(sphere(10, 4));
      const many = Array.from({ length: 3000 }, (_, i) => i);
      json.accessors = [at(json, 'accessors', 0), ...many.map(() => at(json, 'accessors', 1))];
      json.meshes = many.map((i) => ({ primitives: [{ attributes: { POSITION: 0 }, indices: 1 + i }] }));
      json.nodes = [{ children: many.map((i) => i + 1) }, ...many.map((i) => ({ mesh: i }))];
      return glb(json, bin);
    },
    /more numbers/,
  ),
];
