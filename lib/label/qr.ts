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
  return drawn({ bcid: 'qrcode', text, eclevel: 'M' })
}

/**
 * The same for elements of GS1, with FNC1 in the first place.
 * @param printed with brackets: (17)270331(10)L23
 */
export function qrGs1Symbol(printed: string): QrSymbol {
  return drawn({ bcid: 'gs1qrcode', text: printed, eclevel: 'M', dontlint: true })
}

function drawn(options: { bcid: string; text: string; eclevel: string; dontlint?: boolean }): QrSymbol {
  const [symbol] = bwipjs.raw(options) as { pixs: number[]; pixx: number }[]
  const { pixs, pixx } = symbol!
  return { size: pixx, isDark: (x, y) => pixs[y * pixx + x] === 1 }
}
