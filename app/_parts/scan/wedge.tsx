'use client'

import { useEffect } from 'react'

/** Signs of a scanner follow each other faster than any hand: so many milliseconds a sign, on average. */
const SIGN_MS = 50
const SIGNS_MIN = 4

type Typed = HTMLInputElement | HTMLSelectElement | HTMLTextAreaElement

/** Listens for scanners that act as a keyboard. What they type into a field that is not for scanning stays there. */
export function Wedge() {
  useEffect(() => {
    let [text, began, last, before] = ['', 0, 0, '']
    let field: Element | null = null
    const isField = () => field?.matches('input,select,textarea')
    function pressed(event: KeyboardEvent) {
      const { key, timeStamp } = event
      if (timeStamp - last > 4 * SIGN_MS) text = ''
      last = timeStamp
      if (key === 'Enter' || key === 'Tab') {
        const [read, near, was] = [text, field, before]
        text = ''
        if (read.length < SIGNS_MIN || timeStamp - began > read.length * SIGN_MS) return
        // A field for numbers never takes a label: the next part is scanned with the cursor still in the last count.
        if (isField() && !near?.closest('[data-scan-want]') && !(near as Typed as HTMLElement).inputMode) return
        event.preventDefault()
        event.stopPropagation()
        import('./scanned.ts').then((scan) => {
          if (near?.matches('input,select,textarea')) scan.fieldSet(near as Typed, was)
          scan.scannedTyped(read, near)
        })
        return
      }
      // Keyboards write the separator of makers' codes as Ctrl ].
      const sign = event.ctrlKey && key === ']' ? '\x1d' : key
      if (sign.length > 1 || event.metaKey || event.altKey || (event.ctrlKey && sign === key)) return
      if (text === '') {
        began = timeStamp
        field = document.activeElement
        before = isField() ? (field as Typed).value : ''
      } else if (!isField()) event.preventDefault()
      text += sign
    }
    addEventListener('keydown', pressed, true)
    return () => removeEventListener('keydown', pressed, true)
  }, [])
  return null
}
