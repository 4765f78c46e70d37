/** Weight and head. */

/** Standard gravity, m/s² (textbook examples often take 9.81). */
export const GRAVITY = 9.80665;

/** Speed that a head of liquid gives without losses, m/s. */
export const speedFromHead = (head: number): number => Math.sqrt((2 * GRAVITY * head) / 1000);

/** Head that gives a speed without losses, mm. */
export const headFromSpeed = (velocityMS: number): number => ((velocityMS * velocityMS) / (2 * GRAVITY)) * 1000;

/** Diameter, mm, of a circle of this area. */
export const diameterOf = (areaMm2: number): number => Math.sqrt((4 * areaMm2) / Math.PI);
