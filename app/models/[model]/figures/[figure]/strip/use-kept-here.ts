import { useCallback, useEffect, useState } from 'react'
import type { StripDraft } from '@/lib/figure/strip-draft.ts'

interface KeptHere {
  edition: number
  at: string
  draft: StripDraft
}

const name = (figureId: number) => `strip-order-${figureId}`

function keptRead(figureId: number, edition: number): KeptHere | null {
  try {
    const kept = JSON.parse(localStorage.getItem(name(figureId)) ?? 'null') as KeptHere | null
    // Items of another edition may mean other parts.
    return kept && kept.edition === edition && Array.isArray(kept.draft?.steps) ? kept : null
  } catch {
    return null
  }
}

/**
 * Keeps an order that is not saved yet on this device: a page that is closed, a phone that dies, a session that ends lose
 * nothing. Answers what an earlier visit left, once, and how to forget it.
 */
export function useKeptHere(figureId: number, edition: number, draft: StripDraft, isSaved: boolean) {
  const [left, setLeft] = useState<KeptHere | null>(null)
  useEffect(() => setLeft(keptRead(figureId, edition)), [figureId, edition])

  useEffect(() => {
    if (isSaved) return
    const timer = setTimeout(() => {
      try {
        const kept: KeptHere = { edition, at: new Date().toISOString(), draft }
        localStorage.setItem(name(figureId), JSON.stringify(kept))
      } catch {
        // No room or no leave to keep anything: leaving the page asks first.
      }
    }, 400)
    return () => clearTimeout(timer)
  }, [figureId, edition, draft, isSaved])

  useEffect(() => {
    if (isSaved) return
    const closing = (event: BeforeUnloadEvent) => event.preventDefault()
    window.addEventListener('beforeunload', closing)
    return () => window.removeEventListener('beforeunload', closing)
  }, [isSaved])

  const forget = useCallback(() => {
    setLeft(null)
    try {
      localStorage.removeItem(name(figureId))
    } catch {
      // Nothing was kept then.
    }
  }, [figureId])
  return { left, forget }
}
