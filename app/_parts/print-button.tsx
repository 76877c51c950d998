'use client'

/** Prints the page; what is not meant for paper is left out by the print styles. */
export function PrintButton({ children }: { children: string }) {
  return (
    <button type="button" className="button no-print" onClick={() => window.print()}>
      {children}
    </button>
  )
}
