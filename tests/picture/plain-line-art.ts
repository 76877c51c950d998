import { JSDOM } from 'jsdom'
import { expect } from 'vitest'

/**
 * A second opinion on a cleaned drawing that shares nothing with the cleaner: what SVG 1.1 (W3C, second edition) calls
 * scripting, linking, animation or extensibility must not be there, by a walk over a fresh parse and by plain text search.
 */
const FORBIDDEN_ELEMENTS =
  /^(?:script|foreignobject|iframe|object|embed|animate.*|set|discard|handler|listener|audio|video|image|img|a|style|filter|fe.*|html|body|link|meta|base|math|annotation-xml|form|input|template)$/i

export function expectPlainLineArt(text: string): void {
  const { window } = new JSDOM('')
  const document = new window.DOMParser().parseFromString(text, 'image/svg+xml')
  const root = document.documentElement
  expect(root.nodeName, text).toBe('svg')
  expect([...document.childNodes].map((node) => node.nodeType)).toEqual([1])
  for (const element of [root, ...root.querySelectorAll('*')]) {
    expect(element.namespaceURI).toBe('http://www.w3.org/2000/svg')
    expect(element.nodeName).not.toMatch(FORBIDDEN_ELEMENTS)
    expect(element.nodeName).not.toContain(':')
    for (const { name, value } of element.attributes) {
      expect(name).not.toMatch(/^on/i)
      expect(name).not.toMatch(/:(?!space$)/)
      expect(name).not.toMatch(/^(?:src|srcset|action|data|xml:base|ping|class)$/i)
      if (/href$/i.test(name)) expect(value).toMatch(/^#[^\s]+$/)
      if (name === 'xmlns') continue
      expect(value.replace(/url\(\s*["']?#[^)]*\)/g, '')).not.toMatch(/url\s*\(|:\/\/|\/\/|script\s*:|data\s*:|@|\\/i)
    }
    for (const child of element.childNodes) expect([1, 3]).toContain(child.nodeType)
  }
  expect(text).not.toMatch(/<!|<\?|]]>|<script|<style|<foreignObject/i)
  // HTML reads attributes more loosely than XML: nothing may look like a handler to it either.
  const html = new JSDOM(`<body>${text}</body>`).window.document.body
  for (const element of html.querySelectorAll('*')) {
    expect(element.localName).not.toMatch(FORBIDDEN_ELEMENTS)
    for (const { name } of element.attributes) expect(name).not.toMatch(/^on/i)
  }
}
