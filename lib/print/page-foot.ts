/** A text as a CSS string. All but letters, digits and spaces is written by its code, so that no sign of a complaint ends it. */
export function cssString(text: string): string {
  const safe = [...text].map((sign) => (/[A-Za-z0-9 ]/.test(sign) ? sign : `\\${sign.codePointAt(0)!.toString(16)} `))
  return `"${safe.join('')}"`
}

/**
 * The style of printed pages with a foot on each: what it is on the left, when it was printed and which page of how many on the
 * right. The margin boxes are those of CSS Paged Media; no paper size is said, so that A4 and Letter both come out as chosen.
 */
export function pageFootStyle(left: string, printed: string): string {
  const text = 'font: 8.5pt "Liberation Sans", Arial, sans-serif; color: #000;'
  return [
    '@page { margin: 12mm 12mm 17mm;',
    `@bottom-left { content: ${cssString(left)}; width: 70%; text-align: left; ${text} }`,
    `@bottom-right { content: ${cssString(`printed ${printed}, page `)} counter(page) " of " counter(pages); text-align: right; ${text} }`,
    '}',
  ].join(' ')
}
