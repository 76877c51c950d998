import { BarcodeDetector, prepareZXingModule, ZXING_WASM_VERSION } from 'barcode-detector/ponyfill'

// Without this the library would fetch its reader from a foreign server.
prepareZXingModule({ overrides: { locateFile: () => `/scan/reader.wasm?v=${ZXING_WASM_VERSION}` } })

/** What labels of parts, bins and machines carry: fewer kinds are read faster and mistaken less. */
const detector = new BarcodeDetector({
  formats: ['qr_code', 'code_128', 'data_matrix', 'ean_13', 'ean_8', 'upc_a', 'upc_e', 'code_39', 'itf'],
})

/** Retail codes look like part numbers of digits: their symbology identifier tells them apart (ISO/IEC 15424). */
const SYMBOLOGY: Partial<Record<string, string>> = { ean_13: ']E0', upc_a: ']E0', upc_e: ']E0', ean_8: ']E4' }

/** Texts of the symbols in a picture. */
export async function symbolsIn(picture: HTMLVideoElement | ImageBitmap): Promise<string[]> {
  const found = await detector.detect(picture)
  return found.map(({ format, rawValue }) => `${SYMBOLOGY[format] ?? ''}${rawValue}`)
}
