'use client'

import { useCallback, useEffect, useRef, useState } from 'react'
import { freshKey } from '@/app/_server/fresh-key.ts'
import { paths } from '@/app/paths.ts'
import type { DeskDraft } from '@/lib/figure/desk.ts'

const PAUSE_MS = 700
const AGAIN_MS = 4000
/** What a browser sends after its page was closed may be no longer than this. */
const PARTING_BYTES_MAX = 60_000

export type Saving =
  | { state: 'kept' }
  | { state: 'keeping' }
  | { state: 'waiting'; why: string }
  /** Refused for good: another window has saved, or the page is not on the desk any more. */
  | { state: 'refused'; happened: string; next: string }

/**
 * Keeps the draft a moment after each change, one save at a time, each with the version that it builds on. A save that did
 * not get through is sent again with the same key, so it counts once.
 */
export function useSaving(draftId: number, firstVersion: number, draft: DeskDraft) {
  const [saving, setSaving] = useState<Saving>({ state: 'kept' })
  const version = useRef(firstVersion)
  const latest = useRef(draft)
  const kept = useRef(draft)
  const running = useRef<Promise<boolean> | null>(null)
  const isRefused = useRef(false)
  const retry = useRef<{ key: string; draft: DeskDraft } | null>(null)

  const send = useCallback(async (): Promise<boolean> => {
    while (!isRefused.current && kept.current !== latest.current) {
      const going = retry.current ?? { key: freshKey(), draft: latest.current }
      retry.current = going
      setSaving({ state: 'keeping' })
      try {
        const body = JSON.stringify({ version: version.current, draft: going.draft })
        const answer = await fetch(paths.draftSave(draftId), {
          method: 'PUT',
          headers: { 'content-type': 'application/json', 'idempotency-key': going.key },
          body,
          keepalive: body.length < PARTING_BYTES_MAX,
        })
        const said = (await answer.json()) as { version?: number; detail?: string; next?: string }
        if (answer.ok && said.version !== undefined) {
          version.current = said.version
          kept.current = going.draft
          retry.current = null
          continue
        }
        if (answer.status >= 500) throw new Error(said.detail)
        isRefused.current = true
        setSaving({
          state: 'refused',
          happened: said.detail ?? 'It was not kept.',
          next: said.next ?? 'Load it again.',
        })
        return false
      } catch {
        setSaving({
          state: 'waiting',
          why: 'No answer from the server. It is sent again by itself; do not close this page.',
        })
        return false
      }
    }
    if (!isRefused.current) setSaving({ state: 'kept' })
    return !isRefused.current
  }, [draftId])

  const flush = useCallback((): Promise<boolean> => {
    running.current ??= send().finally(() => {
      running.current = null
    })
    return running.current
  }, [send])

  useEffect(() => {
    latest.current = draft
    if (draft === kept.current) return
    const timer = setTimeout(flush, PAUSE_MS)
    return () => clearTimeout(timer)
  }, [draft, flush])

  useEffect(() => {
    if (saving.state !== 'waiting') return
    const timer = setTimeout(flush, AGAIN_MS)
    return () => clearTimeout(timer)
  }, [saving, flush])

  useEffect(() => {
    const leaving = () => {
      if (document.visibilityState === 'hidden') void flush()
    }
    const closing = (event: BeforeUnloadEvent) => {
      if (kept.current === latest.current || isRefused.current) return
      void flush()
      event.preventDefault()
    }
    document.addEventListener('visibilitychange', leaving)
    window.addEventListener('beforeunload', closing)
    return () => {
      document.removeEventListener('visibilitychange', leaving)
      window.removeEventListener('beforeunload', closing)
    }
  }, [flush])

  /** Saves what is not kept yet; false when it could not be kept. */
  const settle = useCallback(async () => (await flush()) && (kept.current === latest.current || flush()), [flush])
  return { saving, settle }
}
