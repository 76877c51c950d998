'use client'

import { lazy, type ReactNode, Suspense, useEffect, useRef, useState } from 'react'
import type { ScanReply } from '@/app/scan/route.ts'
import type { ScanWant } from '@/lib/db/scan.ts'
import styles from './scan.module.css'

/** Loaded with the first scan: the search field of every page has this button, and a phone should not wait for it. */
const ScanDeed = lazy(() => import('./scan-deed.tsx'))

/** A field that a scan can fill, with the button for it: a select by its value, a search field by its text. */
export function ScanField({ want, says, children }: { want: ScanWant; says: ReactNode; children: ReactNode }) {
  const place = useRef<HTMLDivElement>(null)
  const [asked, setAsked] = useState<ScanReply | 'camera' | null>(null)

  useEffect(() => {
    const here = place.current!
    const heard = (event: Event) => setAsked((event as CustomEvent<ScanReply>).detail)
    here.addEventListener('scanned', heard)
    return () => here.removeEventListener('scanned', heard)
  }, [])

  return (
    <div ref={place} data-scan-want={want} className={styles.field}>
      {children}
      <button type="button" className="button" onClick={() => setAsked('camera')}>
        {says}
      </button>
      {asked && (
        <Suspense>
          <ScanDeed want={want} asked={asked} place={place} onAsked={setAsked} />
        </Suspense>
      )}
    </div>
  )
}
