// A joint that is lit wherever it is shown: in the values of the file and in the drawing of the car.
export class Lit {
  path = $state(''); // "front.arm.lower.upright"; empty: none
  shown = $state(0); // goes up when its values are to be opened and gone to
}

// The path of the joint that a coordinate's path belongs to.
export const jointOf = (path: string): string => path.replace(/\[\d+\]$/, '');
