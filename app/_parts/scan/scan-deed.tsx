'use client'

import Link from 'next/link'
import { type RefObject, useEffect, useState } from 'react'
import type { ScanReply } from '@/app/scan/route.ts'
import type { ScanWant } from '@/lib/db/scan.ts'
import styles from './scan.module.css'
import ScanPanel from './scan-panel.tsx'
import { scanUsed } from './scan-used.ts'

/** What follows a press on Scan, or a scan itself: the camera, the field filled, or words about why not. */
export default function ScanDeed(props: {
  want: ScanWant
  asked: ScanReply | 'camera'
  place: RefObject<HTMLDivElement | null>
  onAsked: (asked: ScanReply | null) => void
}) {
  const { want, asked, place, onAsked } = props
  const [reply, setReply] = useState<ScanReply | null>(null)
  useEffect(() => {
    if (asked !== 'camera' && place.current) setReply(scanUsed(place.current, asked))
  }, [asked, place])
  if (asked === 'camera') return <ScanPanel want={want} onReply={onAsked} onClose={() => onAsked(null)} />
  if (!reply) return null
  return (
    <p role={reply.fits ? 'status' : 'alert'} className={styles.says}>
      {reply.says}{' '}
      {reply.href && !reply.fits ? (
        <Link href={reply.href} prefetch={false} onClick={() => onAsked(null)}>
          {reply.thing ? 'Open it' : 'Look for it'}
        </Link>
      ) : null}
    </p>
  )
}
