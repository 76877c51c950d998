'use client'

import type { ReactNode } from 'react'

/** Prints the page; what is not meant for paper is left out by the print styles. */
export function PrintButton({ children, isQuiet = false }: { children: ReactNode; isQuiet?: boolean }) {
  return (
    <button type="button" className={`button no-print ${isQuiet ? 'quiet' : ''}`} onClick={() => window.print()}>
      {children}
    </button>
  )
}
