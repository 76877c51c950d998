-- CreateTable
CREATE TABLE "CountLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "binId" INTEGER NOT NULL,
    "cutId" INTEGER NOT NULL,
    "ledgerId" INTEGER NOT NULL,
    "books" INTEGER NOT NULL,
    "counted" INTEGER NOT NULL,
    "valueMinor" INTEGER NOT NULL,
    "round" INTEGER NOT NULL DEFAULT 1,
    "firstId" INTEGER,
    "followedById" INTEGER,
    "state" TEXT NOT NULL,
    "reasonCode" TEXT,
    "words" TEXT,
    "personId" TEXT NOT NULL,
    "at" DATETIME NOT NULL,
    "movementId" INTEGER,
    "decidedById" TEXT,
    "decidedAt" DATETIME,
    "decidedWords" TEXT,
    "sheetLine" TEXT,
    CONSTRAINT "CountLine_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "CountLine_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "CountLine_movementId_key" ON "CountLine"("movementId");

-- CreateIndex
CREATE UNIQUE INDEX "CountLine_sheetLine_key" ON "CountLine"("sheetLine");

-- CreateIndex
CREATE INDEX "CountLine_partId_binId_id_idx" ON "CountLine"("partId", "binId", "id");

-- CreateIndex
CREATE INDEX "CountLine_state_followedById_idx" ON "CountLine"("state", "followedById");

-- CreateIndex
CREATE INDEX "CountLine_at_idx" ON "CountLine"("at");

-- What was counted stays what it was, whatever comes of it.
CREATE TRIGGER IF NOT EXISTS count_line_never_deleted BEFORE DELETE ON "CountLine" BEGIN
  SELECT RAISE(ABORT, 'count/append-only: a count is never deleted, count again');
END;

CREATE TRIGGER IF NOT EXISTS count_line_keeps_its_count BEFORE UPDATE ON "CountLine" WHEN NEW.partId <> OLD.partId OR NEW.binId <> OLD.binId OR NEW.counted <> OLD.counted OR NEW.round <> OLD.round OR NEW.personId <> OLD.personId BEGIN
  SELECT RAISE(ABORT, 'count/append-only: what was counted is never changed, count again');
END;

CREATE TRIGGER IF NOT EXISTS count_line_booked_stays BEFORE UPDATE ON "CountLine" WHEN OLD.state IN ('right', 'booked') AND NEW.state <> OLD.state BEGIN
  SELECT RAISE(ABORT, 'count/append-only: a booked count stays booked, count again');
END;
