import { radians, type Vec } from './vector.ts'

/** Parallel projection: right and down on the paper, and `near` towards the reader. All three are to one scale. */
export interface View {
  /** Turn of the world about its upright axis. -45 shows x running to the lower right and y to the upper right. */
  yawDegrees: number
  /** Height of the eye. 35.26 with a yaw of -45 is the isometric view of ISO 5456-3. */
  pitchDegrees: number
  scale: number
  origin: readonly [x: number, y: number]
}

export const ISOMETRIC = { yawDegrees: -45, pitchDegrees: 35.264 } as const

export type Seen = readonly [x: number, y: number, near: number]

export function viewProject(view: View): (point: Vec) => Seen {
  const [ca, sa] = [Math.cos(radians(view.yawDegrees)), Math.sin(radians(view.yawDegrees))]
  const [cb, sb] = [Math.cos(radians(view.pitchDegrees)), Math.sin(radians(view.pitchDegrees))]
  const k = view.scale
  return ([x, y, z]) => [
    view.origin[0] + k * (-sa * x + ca * y),
    view.origin[1] - k * (-sb * ca * x - sb * sa * y + cb * z),
    k * (cb * ca * x + cb * sa * y + sb * z),
  ]
}
