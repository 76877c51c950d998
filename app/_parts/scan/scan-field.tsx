'use client'

import Link from 'next/link'
import { lazy, type ReactNode, Suspense, useEffect, useRef, useState } from 'react'
import type { ScanReply } from '@/app/scan/route.ts'
import type { ScanWant } from '@/lib/db/scan.ts'
import styles from './scan.module.css'

const ScanPanel = lazy(() => import('./scan-panel.tsx'))

/** A field that a scan can fill, with the button for it: a select by its value, a search field by its text. */
export function ScanField({ want, says, children }: { want: ScanWant; says: ReactNode; children: ReactNode }) {
  const place = useRef<HTMLDivElement>(null)
  const [open, setOpen] = useState(false)
  const [reply, setReply] = useState<ScanReply | null>(null)

  useEffect(() => {
    const here = place.current!
    const heard = async (event: Event) => {
      const { detail } = event as CustomEvent<ScanReply>
      const { scanUsed } = await import('./scan-used.ts')
      setReply(scanUsed(here, detail))
    }
    here.addEventListener('scanned', heard)
    return () => here.removeEventListener('scanned', heard)
  }, [])

  return (
    <div ref={place} data-scan-want={want} className={styles.field}>
      {children}
      <button type="button" className={`button ${styles.button}`} onClick={() => setOpen(true)}>
        {says}
      </button>
      {reply ? (
        <p role={reply.fits ? 'status' : 'alert'} className={styles.says}>
          {reply.says}{' '}
          {reply.href && !reply.fits ? (
            <Link href={reply.href} prefetch={false} onClick={() => setReply(null)}>
              {reply.thing ? 'Open it' : 'Look for it'}
            </Link>
          ) : null}
        </p>
      ) : null}
      {open ? (
        <Suspense>
          <ScanPanel
            want={want}
            onClose={() => setOpen(false)}
            onReply={(detail) => place.current?.dispatchEvent(new CustomEvent('scanned', { detail }))}
          />
        </Suspense>
      ) : null}
    </div>
  )
}
