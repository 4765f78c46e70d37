/**
 * The viewer's two materials. three's own are made for every scene there may be; where a processor draws, compiling them
 * takes longer than drawing the pattern, so these say only what this stage needs.
 */
import { DoubleSide, GLSL3, RawShaderMaterial } from 'three';

/** Colours are meant for the screen as they are, so light is brought to the screen's scale instead. */
const LIT = `
precision highp float;
uniform mat4 modelMatrix, viewMatrix, projectionMatrix;
uniform mat3 normalMatrix;
in vec3 position, normal, color;
out vec3 tone;
out float height;
// The sun stands behind the left shoulder of whoever looks.
const vec3 SUN = vec3(-0.395, 0.543, 0.741);
void main() {
  vec4 place = modelMatrix * vec4(position, 1.0);
  height = place.z;
  float facing = max(0.0, dot(normalize(normalMatrix * normal), SUN));
  tone = color * pow(0.605 + 0.477 * facing, 0.4545);
  gl_Position = projectionMatrix * viewMatrix * place;
}`;

/** Seen from the cut, the inside of the surface is the cut face: a flat colour there makes the metal look solid. */
const CUT = `
precision highp float;
uniform float cutAt;
in vec3 tone;
in float height;
out vec4 colour;
void main() {
  if (height > cutAt) discard;
  colour = vec4(gl_FrontFacing ? tone : vec3(0.541, 0.561, 0.596), 1.0);
}`;

const PLACED = `
uniform mat4 modelViewMatrix, projectionMatrix;
in vec3 position;
void main() { gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`;

const PLAIN = `
precision highp float;
uniform vec3 ink;
out vec4 colour;
void main() { colour = vec4(ink, 1.0); }`;

/** The pattern's surface: the colour of each corner, lit, and cut off above a height. */
export function skinMaterial(): RawShaderMaterial & { uniforms: { cutAt: { value: number } } } {
  return new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: LIT,
    fragmentShader: CUT,
    side: DoubleSide,
    uniforms: { cutAt: { value: Infinity } },
  }) as ReturnType<typeof skinMaterial>;
}

/** One flat colour, 0xrrggbb; `through` shows it through what is in front. */
export function inkMaterial(colour: number, through = false): RawShaderMaterial {
  const ink = [colour >> 16, (colour >> 8) & 255, colour & 255].map((part) => part / 255);
  return new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: PLACED,
    fragmentShader: PLAIN,
    depthTest: !through,
    uniforms: { ink: { value: ink } },
  });
}
