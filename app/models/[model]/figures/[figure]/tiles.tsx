'use client'

import { type RefObject, useCallback, useEffect, useImperativeHandle, useRef, useState } from 'react'
import { figurePaths } from '@/app/figure-paths.ts'
import { type Tile, tileBox, tileLevels, tilesFor } from '@/lib/geometry/tile.ts'
import type { Size, View } from '@/lib/geometry/view.ts'
import styles from './figure.module.css'

/** CSS pixels of tiles that are fetched beyond the window, so that a drag does not run into blank paper. */
const MARGIN = 160

export interface TilesHandle {
  follow: (view: View, window: Size) => void
}

const nameOf = (tile: Tile) => `${tile.level}/${tile.x}_${tile.y}`

/** What of a large scan the window needs, over its smallest level. Tiles of the last level stay until the new ones are there. */
export default function Tiles({
  picture,
  page,
  handle,
  ready,
}: {
  picture: { id: string } & Size
  page: Size
  handle: RefObject<TilesHandle | null>
  ready: () => void
}) {
  const [shown, setShown] = useState<{ tiles: Tile[]; under: Tile[] }>({ tiles: [], under: [] })
  const key = useRef('')
  const loaded = useRef(new Set<string>())
  const levels = tileLevels(picture)

  const follow = useCallback(
    (view: View, window: Size) => {
      const tiles = tilesFor(view, page, window, picture, devicePixelRatio, MARGIN)
      const wanted = tiles.map(nameOf).join()
      if (wanted === key.current) return
      key.current = wanted
      setShown((before) => ({
        tiles,
        under: before.tiles.filter(
          (tile) => tile.level !== tiles[0]?.level && loaded.current.has(nameOf(tile)) && tiles.length > 0,
        ),
      }))
    },
    [page, picture],
  )
  useImperativeHandle(handle, () => ({ follow }), [follow])
  // The drawing may have come to rest before this was loaded.
  useEffect(ready, [ready])

  function arrived(tile: Tile) {
    loaded.current.add(nameOf(tile))
    setShown((before) =>
      before.under.length > 0 && before.tiles.every((one) => loaded.current.has(nameOf(one)))
        ? { ...before, under: [] }
        : before,
    )
  }

  return [...shown.under, ...shown.tiles].map((tile) => {
    const box = tileBox(tile, levels[tile.level]!)
    return (
      <img
        key={nameOf(tile)}
        src={figurePaths.pictureTile(picture, tile)}
        alt=""
        draggable={false}
        decoding="async"
        className={styles.tile}
        style={{
          left: `${box.left * 100}%`,
          top: `${box.top * 100}%`,
          width: `${box.width * 100}%`,
          height: `${box.height * 100}%`,
        }}
        onLoad={() => arrived(tile)}
      />
    )
  })
}
