import { describe, expect, test } from 'vitest'
import { documentCheck, documentName } from '../../lib/picture/document.ts'
import { isRefusal } from '../../lib/refusal.ts'

const bytes = (text: string) => new Uint8Array(Buffer.from(text, 'latin1'))
const code = (text: string, name = 'sheet.pdf') => {
  try {
    return documentCheck({ bytes: bytes(text), name }).id
  } catch (error) {
    return isRefusal(error) ? error.code : Promise.reject(error)
  }
}
const PDF = '%PDF-1.4\n%%EOF\n'

// First bytes %PDF- and last line %%EOF: ISO 32000-2, 7.5.2 and 7.5.5.
describe('a document', () => {
  test('is a PDF by its content, whatever its name says', () => {
    expect(code(PDF, 'photo.png')).toMatch(/^[0-9a-f]{64}$/)
    expect(code('<html>%PDF-', 'sheet.pdf')).toBe('document/wrong-type')
    expect(code('MZ\x90', 'sheet.pdf')).toBe('document/wrong-type')
  })

  test('that is empty, cut off or over 20 MB is refused', () => {
    expect(code('')).toBe('document/broken')
    expect(code('%PDF-1.4\nhalf')).toBe('document/broken')
    const heavy = new Uint8Array(20_000_001)
    expect(() => documentCheck({ bytes: heavy, name: 'x.pdf' })).toThrow('document/too-heavy')
  })

  test.each([
    ['C:\\scans\\Fitting sheet.PDF', 'Fitting sheet.pdf'],
    ['../../etc/passwd', 'passwd.pdf'],
    ['a"b\r\nc.pdf', 'a b c.pdf'],
    ['Größe.pdf', 'Größe.pdf'],
    ['..', 'document.pdf'],
  ])('called %j is handed out as %j', (name, answer) => {
    expect(documentName(name)).toBe(answer)
  })
})
