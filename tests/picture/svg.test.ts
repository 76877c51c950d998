import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { pictureCheck } from '../../lib/picture/picture.ts'
import { svgClean } from '../../lib/picture/svg.ts'
import { isRefusal, type Refusal } from '../../lib/refusal.ts'
import { HOSTILE_DRAWINGS } from './hostile-drawings.ts'
import { expectPlainLineArt } from './plain-line-art.ts'

const NS = 'xmlns="http://www.w3.org/2000/svg"'
const bytes = (text: string) => new Uint8Array(Buffer.from(text))

async function refusalOf(run: Promise<unknown>): Promise<Refusal> {
  const error = await run.then(
    () => null,
    (thrown: unknown) => thrown,
  )
  if (!isRefusal(error)) throw error ?? new Error('nothing was refused')
  return error
}

async function cleaned(text: string): Promise<string> {
  const once = (await svgClean(bytes(text))).text
  expectPlainLineArt(once)
  expect((await svgClean(bytes(once))).text).toBe(once)
  return once
}

describe('a drawing that could run or load something', () => {
  it.each(HOSTILE_DRAWINGS)('%s never gets through', async (_, drawing, named) => {
    const sent = typeof drawing === 'string' ? bytes(drawing) : drawing
    const outcome = await pictureCheck({ bytes: sent, name: 'drawing.svg' }).catch((error: unknown) => error)
    if (isRefusal(outcome)) {
      expect(['picture/unsafe', 'picture/broken', 'picture/wrong-type']).toContain(outcome.code)
      if (named.source !== '^$') expect(outcome.happened).toMatch(named)
      return
    }
    if (outcome instanceof Error) throw outcome
    expect('', 'a drawing that must be refused by name came through').toMatch(named)
    const text = Buffer.from((outcome as { bytes: Uint8Array }).bytes).toString()
    await cleaned(text)
  })

  it('would be noticed if it got through', () => {
    const named = HOSTILE_DRAWINGS.filter(([, , by]) => by.source !== '^$')
    expect(named.length).toBeGreaterThan(45)
    for (const [name, drawing] of named) {
      expect(() => expectPlainLineArt(String(drawing)), name).toThrow()
    }
  })

  it('names everything that was found, not only the first', async () => {
    const refusal = await refusalOf(
      svgClean(bytes(`<svg ${NS} viewBox="0 0 9 9"><g onclick="1"/><set/><use href="http://evil.example/"/></svg>`)),
    )
    expect(refusal.faults).toEqual(['event handler onclick', 'element set', 'link to http://evil.example/'])
  })
})

describe('a drawing from a drawing program', () => {
  it('keeps its lines and loses what only the editor needs', async () => {
    const text = await cleaned(`<?xml version="1.0" encoding="UTF-8" standalone="no"?>
<!-- Created with an editor -->
<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
<svg ${NS} xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:ed="urn:editor" xmlns:dc="http://purl.org/dc/elements/1.1/"
  width="210mm" height="297mm" viewBox="0 0 210 297" ed:version="1.2" data-name="sheet">
  <metadata><dc:source>a book</dc:source></metadata><ed:namedview zoom="2"/>
  <defs><linearGradient id="steel"><stop offset="0" stop-color="#fff"/></linearGradient></defs>
  <g id="hub" ed:label="Hub" transform="translate(3,4) rotate(30)"><path d="M1,2 c3-4 5e1 6 7 8z" style="fill:none;stroke:#000; stroke-width:.35px"/></g>
  <use xlink:href="#hub" x="20"/><text x="5" y="9" xml:space="preserve">Ø 35 &lt; M16 &amp; so on<tspan dy="3">7</tspan></text>
</svg>`)
    expect(text).toContain('<path d="M1,2 c3-4 5e1 6 7 8z" style="fill:none;stroke:#000;stroke-width:.35px"/>')
    expect(text).toContain('<g id="hub" transform="translate(3,4) rotate(30)">')
    expect(text).toContain('<use x="20" href="#hub"/>')
    expect(text).toContain('<linearGradient id="steel"><stop offset="0" stop-color="#fff"/></linearGradient>')
    expect(text).toContain('xml:space="preserve">Ø 35 &lt; M16 &amp; so on<tspan dy="3">7</tspan></text>')
    expect(text).not.toMatch(/editor|book|data-name|ed:|metadata/)
  })

  it('keeps the look that a style sheet gives, by weight and order', async () => {
    const text = await cleaned(`<svg ${NS} viewBox="0 0 9 9"><style type="text/css"><![CDATA[
      .thin{stroke-width:.2} path{stroke:red;fill:none} .thin,.thick{stroke:#123} #seven{stroke:blue!important}
    ]]></style><path class="thin" d="M0 0"/><path d="M1 1"/><path id="seven" class="thin" style="stroke-width:3" d="M2 2"/></svg>`)
    expect(text).toContain('<path d="M0 0" style="stroke:#123;fill:none;stroke-width:.2"/>')
    expect(text).toContain('<path d="M1 1" style="stroke:red;fill:none"/>')
    expect(text).toContain('<path id="seven" d="M2 2" style="stroke:blue;fill:none;stroke-width:3"/>')
  })

  it('says which kinds of element it left out', async () => {
    const { leftOut } = await svgClean(
      bytes(`<svg ${NS} viewBox="0 0 9 9"><filter id="f"><feBlend/></filter><text><textPath>x</textPath></text></svg>`),
    )
    expect(leftOut.sort()).toEqual(['feBlend', 'filter', 'textPath'])
  })
})

describe('the size of a drawing', () => {
  // CSS Values and Units 3, 5.2: 1in = 2.54cm = 96px.
  it.each([
    ['viewBox="0 0 1200 800" width="300mm"', 1200, 800],
    ['viewBox="0,0,120.5,80.25"', 120.5, 80.25],
    ['width="2in" height="25.4mm"', 192, 96],
    ['width="640" height="480px"', 640, 480],
  ])('%s', async (size, width, height) => {
    const clean = await svgClean(bytes(`<svg ${NS} ${size}><path d="M0 0"/></svg>`))
    expect(clean.width).toBeCloseTo(width, 9)
    expect(clean.height).toBeCloseTo(height, 9)
  })

  it('counts from the top left even where the view box does not', async () => {
    const text = await cleaned(`<svg ${NS} viewBox="-50 20 300 200"><path d="M-50 20"/></svg>`)
    expect(text).toContain('viewBox="0 0 300 200"><g transform="translate(50 -20)"><path d="M-50 20"/></g></svg>')
  })

  it.each(['', 'viewBox="0 0 0 10"', 'viewBox="0 0 -3 10"', 'viewBox="0 0 1e9 10"', 'width="100%" height="100%"'])(
    'is needed: %s is refused',
    async (size) => {
      expect((await refusalOf(svgClean(bytes(`<svg ${NS} ${size}/>`)))).code).toBe('picture/broken')
    },
  )
})

describe('a drawing that would keep the server busy', () => {
  const times = (count: number, text: string) => text.repeat(count)
  const open = `<svg ${NS} viewBox="0 0 9 9">`
  it.each([
    ['more elements than are read', `${open}${times(50_001, '<g/>')}</svg>`],
    ['groups nested without end', `${open}${times(4000, '<g>')}${times(4000, '</g>')}</svg>`],
    [
      'an element with thousands of attributes',
      `${open}<g ${Array.from({ length: 4000 }, (_, i) => `a${i}=""`).join(' ')}/></svg>`,
    ],
    ['more bytes than are read', `${open}<!--${times(20_000_001, 'x')}--></svg>`],
    [
      'groups that use each other ten times',
      `${open}<g id="u0"><path d="M0 0"/></g>${Array.from({ length: 9 }, (_, i) => `<g id="u${i + 1}">${times(10, `<use href="#u${i}"/>`)}</g>`).join('')}</svg>`,
    ],
    ['a group that uses itself', `${open}<g id="u"><use href="#u"/></g></svg>`],
    [
      'patterns that fill each other',
      `${open}<pattern id="p"><path fill="url(#q)"/></pattern><pattern id="q"><path style="fill:url('#p')"/></pattern></svg>`,
    ],
  ])('%s is refused at once', async (_, drawing) => {
    const start = performance.now()
    expect((await refusalOf(svgClean(bytes(drawing)))).code).toBe('picture/too-heavy')
    expect(performance.now() - start).toBeLessThan(4000)
  })

  it('a large honest drawing is read', async () => {
    const line = '<path d="M1.5 2.25L30.125 44.75" style="fill:none;stroke:#000"/>'
    const clean = await svgClean(bytes(`${open}<g>${times(20_000, line)}</g></svg>`))
    expect(clean.text.split('<path').length).toBe(20_001)
  })
})

describe('a drawing that is not whole', () => {
  it.each([
    `<svg ${NS} viewBox="0 0 9 9"><g></svg>`,
    `<svg ${NS} viewBox="0 0 9 9"><g>`,
    `<svg ${NS} viewBox="0 0 9 9"><g id="a`,
    `<svg ${NS} viewBox="0 0 9 9"/><svg/>`,
    `<svg ${NS} viewBox="0 0 9 9">&unknown;</svg>`,
    '<svg viewBox="0 0 9 9"/>',
    `<s:svg xmlns:s="http://www.w3.org/2000/svg" viewBox="0 0 9 9"/>`,
  ])('%s is refused', async (drawing) => {
    expect((await refusalOf(svgClean(bytes(drawing)))).code).toBe('picture/broken')
  })
})

describe('any drawing', () => {
  const hostileValue = fc.constantFrom(
    'javascript:alert(1)',
    'java\tscript:alert(1)',
    ' #a',
    '#a',
    '#a"><script>',
    'url(#a)',
    'url(//evil.example)',
    'url("#a") url(http://evil.example)',
    'fill:url(#a)',
    'fill:red;x:expression(1)',
    'fill:\\75rl(x)',
    '1',
    'none',
    'translate(1 2)',
    'data:text/html,x',
    '&lt;script&gt;',
    ']]>',
    '-->',
    'M0 0L1 1',
    'constructor',
    '__proto__',
  )
  const attribute = fc.tuple(
    fc.constantFrom(
      'id',
      'd',
      'fill',
      'style',
      'href',
      'xlink:href',
      'onload',
      'ONLOAD',
      'e:onload',
      'e:href',
      'class',
      'transform',
      'xml:base',
      'xml:space',
      'src',
      'from',
      'to',
      'mask',
      'clip-path',
      'x',
      'data-x',
      'constructor',
      'viewBox',
    ),
    hostileValue,
  )
  const names = fc.constantFrom(
    'g',
    'path',
    'use',
    'text',
    'tspan',
    'title',
    'desc',
    'svg',
    'a',
    'switch',
    'style',
    'script',
    'set',
    'animate',
    'foreignObject',
    'image',
    'metadata',
    'e:thing',
    'h:div',
    'm:math',
    'linearGradient',
    'stop',
    'defs',
    'filter',
    'symbol',
  )
  const escaped = (text: string) => text.replace(/[&<>"\t]/g, (sign) => `&#${sign.charCodeAt(0)};`)
  const { tree } = fc.letrec<{ tree: string; text: string }>((tie) => ({
    text: fc.oneof(
      hostileValue.map(escaped),
      fc.constantFrom(
        '<!-- x -->',
        '<![CDATA[<script>1</script>]]>',
        '<?php x?>',
        '.a{fill:url(#a)}',
        '@import "x";',
        ' ',
      ),
    ),
    tree: fc
      .record({
        name: names,
        attributes: fc.uniqueArray(attribute, { maxLength: 3, selector: ([name]) => name }),
        inner: fc.array(fc.oneof({ depthSize: 'small', withCrossShrink: true }, tie('text'), tie('tree')), {
          maxLength: 3,
        }),
      })
      .map(
        ({ name, attributes, inner }) =>
          `<${name}${attributes.map(([key, value]) => ` ${key}="${escaped(value)}"`).join('')}>${inner.join('')}</${name}>`,
      ),
  }))

  it('is refused or comes out as plain line art, and the same when cleaned twice', async () => {
    let through = 0
    await fc.assert(
      fc.asyncProperty(fc.array(tree, { maxLength: 4 }), async (trees) => {
        const drawing = `<svg ${NS} xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:e="urn:e" xmlns:h="http://www.w3.org/1999/xhtml" xmlns:m="http://www.w3.org/1998/Math/MathML" viewBox="0 0 9 9">${trees.join('')}</svg>`
        try {
          await cleaned(drawing)
          through += 1
        } catch (error) {
          if (!isRefusal(error)) throw error
        }
      }),
      { numRuns: 400, seed: 6433 },
    )
    expect(through).toBeGreaterThan(40)
  })
})
