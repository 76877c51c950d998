'use client'

import { type FormEvent, useEffect, useId, useRef, useState } from 'react'
import { createPortal } from 'react-dom'
import type { ScanReply } from '@/app/scan/route.ts'
import type { ScanWant } from '@/lib/db/scan.ts'
import styles from './scan.module.css'
import { scanAsk } from './scanned.ts'

/** Often enough for a steady hand, seldom enough that an old tablet keeps up. */
const LOOK_EVERY_MS = 150
/** The same code again within this says nothing new. */
const SAME_MS = 3000

const HEAD = {
  bin: 'Scan a bin',
  part: 'Scan a part',
  machine: 'Scan a machine',
  batch: 'Scan the pack',
  any: 'Scan a label',
} as const
const NO_CAMERA =
  'The camera cannot be used here: browsers allow it only on this device itself or over https. Take a picture, use a hand scanner, or type the number.'

/** Camera, a picture taken, or typing: whichever the device and the browser allow. */
export default function ScanPanel(props: { want: ScanWant; onReply: (reply: ScanReply) => void; onClose: () => void }) {
  const { want, onReply, onClose } = props
  const dialog = useRef<HTMLDialogElement>(null)
  const video = useRef<HTMLVideoElement>(null)
  const [camera, setCamera] = useState<'starting' | 'on' | 'none'>('starting')
  const [says, setSays] = useState('')
  const id = useId()
  const last = useRef({ text: '', at: 0 })

  /** Answers whether the panel is done. */
  async function heard(text: string): Promise<boolean> {
    const now = performance.now()
    if (text === last.current.text && now - last.current.at < SAME_MS) return false
    last.current = { text, at: now }
    const reply = await scanAsk(text, want)
    if (!reply.fits) {
      setSays(reply.says)
      return false
    }
    navigator.vibrate?.(40)
    onReply(reply)
    return true
  }
  const hearing = useRef(heard)
  hearing.current = heard

  useEffect(() => {
    const shown = dialog.current!
    if (!shown.open) shown.showModal()
    let stream: MediaStream | null = null
    let isOver = false
    async function look() {
      const [reader, opened] = await Promise.all([
        import('./symbol-reader.ts'),
        navigator.mediaDevices.getUserMedia({ video: { facingMode: 'environment', width: { ideal: 1280 } } }),
      ])
      stream = opened
      const shown = video.current
      if (isOver || !shown) return stop()
      shown.srcObject = stream
      await shown.play()
      setCamera('on')
      while (!isOver) {
        for (const text of await reader.symbolsIn(shown)) if (!isOver && (await hearing.current(text))) return
        await new Promise((resolve) => setTimeout(resolve, LOOK_EVERY_MS))
      }
    }
    const stop = () => {
      for (const track of stream?.getTracks() ?? []) track.stop()
    }
    if (!navigator.mediaDevices) setCamera('none')
    else
      look().catch(() => {
        stop()
        if (!isOver) setCamera('none')
      })
    return () => {
      isOver = true
      stop()
    }
  }, [])

  async function pictureTaken(file: File | undefined) {
    if (!file) return
    setSays('Looking for a code in the picture ...')
    try {
      const { symbolsIn } = await import('./symbol-reader.ts')
      const texts = await symbolsIn(await createImageBitmap(file))
      if (texts.length === 0)
        setSays('No code is to be seen in the picture. Go closer, hold still, and keep it out of the glare.')
      last.current = { text: '', at: 0 }
      for (const text of texts) if (await heard(text)) return
    } catch {
      setSays('The file is no picture that can be read here.')
    }
  }

  function typed(event: FormEvent<HTMLFormElement>) {
    event.preventDefault()
    // The form of the field that asked would hear of it too.
    event.stopPropagation()
    const text = String(new FormData(event.currentTarget).get('code') ?? '').trim()
    last.current = { text: '', at: 0 }
    if (text !== '') void heard(text)
  }

  // On the page itself: the field that asked stands in a form, and a form holds no other.
  return createPortal(
    <dialog ref={dialog} className={styles.panel} aria-labelledby={`${id}-head`} onClose={onClose}>
      <div className="stack">
        <div className="row spread">
          <h2 id={`${id}-head`}>{HEAD[want]}</h2>
          <button type="button" className="button" onClick={() => dialog.current?.close()}>
            Close
          </button>
        </div>
        {camera === 'none' ? (
          <p>{NO_CAMERA}</p>
        ) : (
          <video ref={video} className={styles.video} muted playsInline aria-label="What the camera sees" />
        )}
        <p role="status" className={says === '' ? 'soft' : 'strong'}>
          {says || (camera === 'on' ? 'Hold the code into the picture, a hand’s width away.' : '')}
        </p>
        <label className="button" htmlFor={`${id}-picture`}>
          Take a picture
        </label>
        <input
          id={`${id}-picture`}
          className={`visually-hidden ${styles.picture}`}
          type="file"
          accept="image/*"
          capture="environment"
          onChange={(event) => void pictureTaken(event.target.files?.[0])}
        />
        <form className="row end" onSubmit={typed}>
          <div className="field">
            <label htmlFor={`${id}-code`}>Number under the code</label>
            <input id={`${id}-code`} name="code" autoComplete="off" autoCapitalize="characters" maxLength={200} />
          </div>
          <button type="submit" className="button">
            Look it up
          </button>
        </form>
      </div>
    </dialog>,
    document.body,
  )
}
