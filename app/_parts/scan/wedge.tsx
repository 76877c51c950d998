'use client'

import { useEffect } from 'react'
import type { Typed } from './scanned.ts'

/** Signs of a scanner follow each other faster than any hand: so many milliseconds a sign, on average. */
const SIGN_MS = 50
const SIGNS_MIN = 4

/** Listens for scanners that act as a keyboard. What they type into a field that is not for scanning stays there. */
export function Wedge() {
  useEffect(() => {
    let [text, before] = ['', '']
    let [began, last] = [0, 0]
    let field: Typed | null = null
    function pressed(event: KeyboardEvent, held = '') {
      const { key, ctrlKey, timeStamp } = event
      if (timeStamp - last > 4 * SIGN_MS) text = ''
      last = timeStamp
      if (key === 'Enter' || key === 'Tab') {
        const [read, near, was] = [text, field, before]
        text = ''
        if (read.length < SIGNS_MIN || timeStamp - began > read.length * SIGN_MS) return
        // A field for numbers never takes a label: the next part is scanned with the cursor still in the last count.
        if (near && !near.closest('[data-scan-want]') && !near.inputMode) return
        event.preventDefault()
        event.stopPropagation()
        import('./scanned.ts').then((scan) => scan.scannedTyped(read, near, was))
        return
      }
      // Keyboards write the separator of makers' codes as Ctrl ].
      const sign = ctrlKey && key === ']' ? '\x1d' : key
      if (sign[1] || event.metaKey || event.altKey || (ctrlKey && sign === key)) return
      if (!text) {
        began = timeStamp
        const at = event.target as Element
        field = at.matches('input,select,textarea') ? (at as Typed) : null
        before = held
      } else if (!field) event.preventDefault()
      text += sign
    }
    for (const [event, held] of globalThis.keysEarly ?? []) pressed(event, held)
    globalThis.keysEarly = undefined
    const now = (event: KeyboardEvent) => pressed(event, (event.target as Typed).value)
    addEventListener('keydown', now, true)
    return () => removeEventListener('keydown', now, true)
  }, [])
  return null
}
