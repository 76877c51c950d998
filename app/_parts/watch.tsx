'use client'

import { useRouter } from 'next/navigation'
import { useEffect, useTransition } from 'react'

const EVERY_MS = 1500

/** Reads the page again while a process works on the file; leaving the page stops nothing. */
export function Watch({ says }: { says: string }) {
  const router = useRouter()
  const [isReading, read] = useTransition()
  // One reading at a time: a page that takes longer than the pause would be overtaken by the next for ever and never be shown.
  useEffect(() => {
    if (isReading) return
    const timer = setTimeout(() => read(() => router.refresh()), EVERY_MS)
    return () => clearTimeout(timer)
  }, [router, isReading])
  return (
    <section className="sheet stack" aria-label="At work">
      <p role="status">
        <span className="strong">{says || 'Working'} …</span>
      </p>
      <progress aria-label="At work" />
      <p className="soft">You may leave this page and come back: the work goes on.</p>
    </section>
  )
}
