import bwipjs from 'bwip-js/generic'

/** Clear space that a reader needs on every side, modules (ISO/IEC 18004, 9.1). */
export const QR_QUIET = 4

export interface QrSymbol {
  /** Modules of a side, without the clear space. */
  size: number
  isDark(x: number, y: number): boolean
}

/**
 * A QR code with error correction M: a symbol of a few signs stays readable with a scratch through it.
 * Source: ISO/IEC 18004.
 */
export function qrSymbol(text: string): QrSymbol {
  const options = { bcid: 'qrcode', text, eclevel: 'M' }
  const [drawn] = bwipjs.raw(options) as { pixs: number[]; pixx: number }[]
  const { pixs, pixx } = drawn!
  return { size: pixx, isDark: (x, y) => pixs[y * pixx + x] === 1 }
}
