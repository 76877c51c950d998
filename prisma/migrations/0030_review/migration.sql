-- CreateTable
CREATE TABLE "WinterCopy" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "planId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "at" DATETIME NOT NULL,
    "personId" TEXT,
    "orderIds" TEXT NOT NULL DEFAULT '[]',
    "content" TEXT NOT NULL,
    CONSTRAINT "WinterCopy_planId_fkey" FOREIGN KEY ("planId") REFERENCES "WinterPlan" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "CostCentre" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "code" TEXT NOT NULL,
    "codeKey" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "closedAt" DATETIME
);

-- CreateTable
CREATE TABLE "MachineCentre" (
    "machineId" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "centreId" INTEGER NOT NULL,
    "setAt" DATETIME NOT NULL,
    "setById" TEXT NOT NULL,
    CONSTRAINT "MachineCentre_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "MachineCentre_centreId_fkey" FOREIGN KEY ("centreId") REFERENCES "CostCentre" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "CentreBudget" (
    "planId" INTEGER NOT NULL,
    "centreId" INTEGER NOT NULL,
    "amountMinor" INTEGER NOT NULL,
    "setAt" DATETIME NOT NULL,
    "setById" TEXT NOT NULL,

    PRIMARY KEY ("planId", "centreId"),
    CONSTRAINT "CentreBudget_planId_fkey" FOREIGN KEY ("planId") REFERENCES "WinterPlan" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "CentreBudget_centreId_fkey" FOREIGN KEY ("centreId") REFERENCES "CostCentre" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "WinterCopy_planId_idx" ON "WinterCopy"("planId");

-- CreateIndex
CREATE UNIQUE INDEX "CostCentre_codeKey_key" ON "CostCentre"("codeKey");

-- CreateIndex
CREATE INDEX "MachineCentre_centreId_idx" ON "MachineCentre"("centreId");

-- CreateIndex
CREATE INDEX "CentreBudget_centreId_idx" ON "CentreBudget"("centreId");

-- What a plan said stays as it was written.
CREATE TRIGGER IF NOT EXISTS winter_copy_never_updated BEFORE UPDATE ON "WinterCopy" BEGIN
  SELECT RAISE(ABORT, 'winter/append-only: what a plan said is never changed');
END;

CREATE TRIGGER IF NOT EXISTS winter_copy_never_deleted BEFORE DELETE ON "WinterCopy" BEGIN
  SELECT RAISE(ABORT, 'winter/append-only: what a plan said is never deleted');
END;
