import { createCanvas, type SKRSContext2D } from '@napi-rs/canvas'
import type { GreyPage } from '../../../lib/figure/reader/schema.ts'

/** A white page with what the test draws on it in black, as grey pixels. */
export function drawnPage(width: number, height: number, draw: (pen: SKRSContext2D) => void): GreyPage {
  const canvas = createCanvas(width, height)
  const pen = canvas.getContext('2d')
  pen.fillStyle = '#fff'
  pen.fillRect(0, 0, width, height)
  pen.fillStyle = pen.strokeStyle = '#000'
  pen.lineWidth = 2
  pen.textAlign = 'center'
  pen.textBaseline = 'middle'
  draw(pen)
  const pixels = pen.getImageData(0, 0, width, height).data
  return { width, height, data: Uint8Array.from({ length: width * height }, (_, at) => pixels[at * 4]!) }
}

export function lineDrawn(pen: SKRSContext2D, ...points: readonly (readonly [number, number])[]): void {
  pen.beginPath()
  for (const [x, y] of points) pen.lineTo(x, y)
  pen.stroke()
}

export function ringDrawn(pen: SKRSContext2D, x: number, y: number, radius: number, from = 0, to = 2 * Math.PI): void {
  pen.beginPath()
  pen.arc(x, y, radius, from, to)
  pen.stroke()
}

export function dotDrawn(pen: SKRSContext2D, x: number, y: number, radius = 4): void {
  pen.beginPath()
  pen.arc(x, y, radius, 0, 7)
  pen.fill()
}

/** A filled arrow head three times as long as it is broad (ISO 128-22), its point at the place. */
export function arrowDrawn(pen: SKRSContext2D, x: number, y: number, angle: number, long = 20): void {
  pen.beginPath()
  pen.moveTo(x, y)
  for (const side of [-1, 1])
    pen.lineTo(x - long * Math.cos(angle + side * 0.17), y - long * Math.sin(angle + side * 0.17))
  pen.fill()
}
