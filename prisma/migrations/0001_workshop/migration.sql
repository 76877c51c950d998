-- CreateTable
CREATE TABLE "Person" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "secretHash" TEXT NOT NULL,
    "active" BOOLEAN NOT NULL DEFAULT true,
    "createdAt" DATETIME NOT NULL
);

-- CreateTable
CREATE TABLE "PersonRole" (
    "personId" TEXT NOT NULL,
    "role" TEXT NOT NULL,

    PRIMARY KEY ("personId", "role"),
    CONSTRAINT "PersonRole_personId_fkey" FOREIGN KEY ("personId") REFERENCES "Person" ("id") ON DELETE CASCADE ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Session" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "personId" TEXT NOT NULL,
    "createdAt" DATETIME NOT NULL,
    "expiresAt" DATETIME NOT NULL,
    CONSTRAINT "Session_personId_fkey" FOREIGN KEY ("personId") REFERENCES "Person" ("id") ON DELETE CASCADE ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "SignInTry" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "tries" INTEGER NOT NULL,
    "firstAt" DATETIME NOT NULL,
    "lastAt" DATETIME NOT NULL
);

-- CreateTable
CREATE TABLE "Setting" (
    "name" TEXT NOT NULL PRIMARY KEY,
    "value" TEXT NOT NULL
);

-- CreateTable
CREATE TABLE "Write" (
    "key" TEXT NOT NULL PRIMARY KEY,
    "kind" TEXT NOT NULL,
    "contentHash" TEXT NOT NULL,
    "answer" TEXT NOT NULL,
    "personId" TEXT NOT NULL,
    "at" DATETIME NOT NULL
);

-- CreateTable
CREATE TABLE "MachineModel" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "maker" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "key" TEXT NOT NULL,
    "kind" TEXT NOT NULL
);

-- CreateTable
CREATE TABLE "Machine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "modelId" INTEGER NOT NULL,
    "fleetNumber" TEXT NOT NULL,
    "fleetKey" TEXT NOT NULL,
    "name" TEXT NOT NULL,
    "serialNumber" TEXT,
    "year" INTEGER,
    "state" TEXT NOT NULL DEFAULT 'working',
    "stateReason" TEXT,
    "hourTenths" INTEGER NOT NULL DEFAULT 0,
    CONSTRAINT "Machine_modelId_fkey" FOREIGN KEY ("modelId") REFERENCES "MachineModel" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "HourReading" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "machineId" INTEGER NOT NULL,
    "hourTenths" INTEGER NOT NULL,
    "at" DATETIME NOT NULL,
    "personId" TEXT,
    CONSTRAINT "HourReading_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Part" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "maker" TEXT NOT NULL,
    "number" TEXT NOT NULL,
    "makerKey" TEXT NOT NULL,
    "numberKey" TEXT NOT NULL,
    "description" TEXT NOT NULL,
    "partClass" TEXT NOT NULL DEFAULT 'other',
    "unit" TEXT NOT NULL DEFAULT 'each',
    "facts" TEXT NOT NULL DEFAULT '{}',
    "criticality" TEXT NOT NULL DEFAULT 'essential',
    "costMinor" INTEGER,
    "searchText" TEXT NOT NULL
);

-- CreateTable
CREATE TABLE "Supersession" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "oldPartId" INTEGER NOT NULL,
    "newPartId" INTEGER NOT NULL,
    "ratio" INTEGER NOT NULL DEFAULT 1,
    "interchange" TEXT NOT NULL,
    "note" TEXT,
    "createdAt" DATETIME NOT NULL,
    CONSTRAINT "Supersession_oldPartId_fkey" FOREIGN KEY ("oldPartId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Supersession_newPartId_fkey" FOREIGN KEY ("newPartId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "KitContent" (
    "kitId" INTEGER NOT NULL,
    "contentId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,

    PRIMARY KEY ("kitId", "contentId"),
    CONSTRAINT "KitContent_kitId_fkey" FOREIGN KEY ("kitId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "KitContent_contentId_fkey" FOREIGN KEY ("contentId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "StockLevel" (
    "partId" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "reorderPoint" INTEGER NOT NULL,
    "orderUpTo" INTEGER NOT NULL,
    "reason" TEXT NOT NULL,
    "setAt" DATETIME NOT NULL,
    CONSTRAINT "StockLevel_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Picture" (
    "id" TEXT NOT NULL PRIMARY KEY,
    "mediaType" TEXT NOT NULL,
    "extension" TEXT NOT NULL,
    "width" INTEGER NOT NULL,
    "height" INTEGER NOT NULL,
    "bytes" INTEGER NOT NULL,
    "createdAt" DATETIME NOT NULL
);

-- CreateTable
CREATE TABLE "Figure" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "title" TEXT NOT NULL,
    "pictureId" TEXT NOT NULL,
    "width" REAL NOT NULL,
    "height" REAL NOT NULL,
    "positions" TEXT NOT NULL DEFAULT '[]',
    "tests" TEXT NOT NULL DEFAULT '[]',
    "credit" TEXT,
    "createdAt" DATETIME NOT NULL,
    CONSTRAINT "Figure_pictureId_fkey" FOREIGN KEY ("pictureId") REFERENCES "Picture" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "FigureOfModel" (
    "modelId" INTEGER NOT NULL,
    "figureId" INTEGER NOT NULL,
    "number" TEXT NOT NULL,
    "numberKey" TEXT NOT NULL,

    PRIMARY KEY ("modelId", "figureId"),
    CONSTRAINT "FigureOfModel_modelId_fkey" FOREIGN KEY ("modelId") REFERENCES "MachineModel" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "FigureOfModel_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Callout" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "figureId" INTEGER NOT NULL,
    "item" TEXT NOT NULL,
    "x" REAL NOT NULL,
    "y" REAL NOT NULL,
    "tips" TEXT NOT NULL DEFAULT '[]',
    CONSTRAINT "Callout_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "PartsListLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "figureId" INTEGER NOT NULL,
    "sort" INTEGER NOT NULL,
    "item" TEXT NOT NULL,
    "partId" INTEGER NOT NULL,
    "description" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL,
    "quantityNote" TEXT,
    "indenture" INTEGER NOT NULL DEFAULT 1,
    "attaches" TEXT,
    "serialFrom" TEXT,
    "serialTo" TEXT,
    "side" TEXT,
    "note" TEXT,
    "facts" TEXT NOT NULL DEFAULT '{}',
    CONSTRAINT "PartsListLine_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "PartsListLine_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "StripEdge" (
    "figureId" INTEGER NOT NULL,
    "firstItem" TEXT NOT NULL,
    "thenItem" TEXT NOT NULL,

    PRIMARY KEY ("figureId", "firstItem", "thenItem"),
    CONSTRAINT "StripEdge_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Store" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "kind" TEXT NOT NULL DEFAULT 'building'
);

-- CreateTable
CREATE TABLE "Bin" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "storeId" INTEGER NOT NULL,
    "code" TEXT NOT NULL,
    "codeKey" TEXT NOT NULL,
    "walkOrder" INTEGER NOT NULL DEFAULT 0,
    CONSTRAINT "Bin_storeId_fkey" FOREIGN KEY ("storeId") REFERENCES "Store" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Balance" (
    "partId" INTEGER NOT NULL,
    "binId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,

    PRIMARY KEY ("partId", "binId"),
    CONSTRAINT "Balance_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Balance_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Movement" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "kind" TEXT NOT NULL,
    "partId" INTEGER NOT NULL,
    "binId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "balanceAfter" INTEGER NOT NULL,
    "at" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    "jobId" INTEGER,
    "needId" INTEGER,
    "orderLineId" INTEGER,
    "reason" TEXT,
    "reversesId" INTEGER,
    "costMinor" INTEGER,
    "writeKey" TEXT NOT NULL,
    "writeLine" INTEGER NOT NULL,
    CONSTRAINT "Movement_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Movement_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Movement_reversesId_fkey" FOREIGN KEY ("reversesId") REFERENCES "Movement" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "Movement_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "Movement_orderLineId_fkey" FOREIGN KEY ("orderLineId") REFERENCES "PurchaseOrderLine" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Job" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "number" INTEGER NOT NULL,
    "machineId" INTEGER NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'open',
    "kind" TEXT NOT NULL DEFAULT 'repair',
    "complaint" TEXT NOT NULL,
    "cause" TEXT NOT NULL DEFAULT '',
    "correction" TEXT NOT NULL DEFAULT '',
    "hourTenths" INTEGER,
    "labourMinutes" INTEGER NOT NULL DEFAULT 0,
    "openedAt" DATETIME NOT NULL,
    "openedById" TEXT NOT NULL,
    "closedAt" DATETIME,
    "closedById" TEXT,
    CONSTRAINT "Job_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "JobTarget" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "jobId" INTEGER NOT NULL,
    "figureId" INTEGER NOT NULL,
    "lineId" INTEGER NOT NULL,
    "item" TEXT NOT NULL,
    "positions" TEXT NOT NULL DEFAULT '[]',
    "quantity" INTEGER NOT NULL,
    CONSTRAINT "JobTarget_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "JobTarget_figureId_fkey" FOREIGN KEY ("figureId") REFERENCES "Figure" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "JobTarget_lineId_fkey" FOREIGN KEY ("lineId") REFERENCES "PartsListLine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "JobNeed" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "jobId" INTEGER NOT NULL,
    "key" TEXT NOT NULL,
    "origin" TEXT NOT NULL,
    "kind" TEXT NOT NULL,
    "partId" INTEGER,
    "item" TEXT,
    "positions" TEXT NOT NULL DEFAULT '[]',
    "description" TEXT NOT NULL,
    "strength" TEXT NOT NULL,
    "suggested" INTEGER NOT NULL,
    "wanted" INTEGER NOT NULL,
    "taken" INTEGER NOT NULL DEFAULT 0,
    "allocated" INTEGER NOT NULL DEFAULT 0,
    "state" TEXT NOT NULL DEFAULT 'open',
    "declineReason" TEXT,
    "reasons" TEXT NOT NULL DEFAULT '[]',
    "sort" INTEGER NOT NULL DEFAULT 0,
    "decidedById" TEXT,
    "decidedAt" DATETIME,
    CONSTRAINT "JobNeed_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "JobNeed_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "JobCheck" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "jobId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "sort" INTEGER NOT NULL,
    "key" TEXT NOT NULL,
    "text" TEXT NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'open',
    "note" TEXT,
    "doneAt" DATETIME,
    "doneById" TEXT,
    CONSTRAINT "JobCheck_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ServiceBookEntry" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "machineId" INTEGER NOT NULL,
    "jobId" INTEGER,
    "writtenAt" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    "personName" TEXT NOT NULL,
    "hourTenths" INTEGER,
    "content" TEXT NOT NULL,
    "digest" TEXT NOT NULL,
    "correctsId" INTEGER,
    CONSTRAINT "ServiceBookEntry_machineId_fkey" FOREIGN KEY ("machineId") REFERENCES "Machine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ServiceBookEntry_jobId_fkey" FOREIGN KEY ("jobId") REFERENCES "Job" ("id") ON DELETE SET NULL ON UPDATE CASCADE,
    CONSTRAINT "ServiceBookEntry_correctsId_fkey" FOREIGN KEY ("correctsId") REFERENCES "ServiceBookEntry" ("id") ON DELETE SET NULL ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Supplier" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "contact" TEXT,
    "leadTimeDays" INTEGER NOT NULL,
    "minimumOrderMinor" INTEGER NOT NULL DEFAULT 0,
    "carriageMinor" INTEGER NOT NULL DEFAULT 0,
    "carriagePaidFromMinor" INTEGER
);

-- CreateTable
CREATE TABLE "Offer" (
    "supplierId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "supplierNumber" TEXT,
    "pack" INTEGER NOT NULL DEFAULT 1,
    "minimum" INTEGER NOT NULL DEFAULT 1,
    "priceMinor" INTEGER NOT NULL,
    "preferred" BOOLEAN NOT NULL DEFAULT false,

    PRIMARY KEY ("supplierId", "partId"),
    CONSTRAINT "Offer_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Offer_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "PurchaseOrder" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "number" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "state" TEXT NOT NULL DEFAULT 'ordered',
    "orderedAt" DATETIME NOT NULL,
    "dueOn" TEXT NOT NULL,
    "personId" TEXT NOT NULL,
    CONSTRAINT "PurchaseOrder_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "PurchaseOrderLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "orderId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "received" INTEGER NOT NULL DEFAULT 0,
    "cancelled" INTEGER NOT NULL DEFAULT 0,
    "priceMinor" INTEGER NOT NULL,
    "reason" TEXT NOT NULL,
    CONSTRAINT "PurchaseOrderLine_orderId_fkey" FOREIGN KEY ("orderId") REFERENCES "PurchaseOrder" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "PurchaseOrderLine_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE UNIQUE INDEX "Person_nameKey_key" ON "Person"("nameKey");

-- CreateIndex
CREATE INDEX "Session_expiresAt_idx" ON "Session"("expiresAt");

-- CreateIndex
CREATE INDEX "Session_personId_idx" ON "Session"("personId");

-- CreateIndex
CREATE UNIQUE INDEX "MachineModel_key_key" ON "MachineModel"("key");

-- CreateIndex
CREATE UNIQUE INDEX "Machine_fleetKey_key" ON "Machine"("fleetKey");

-- CreateIndex
CREATE INDEX "Machine_modelId_idx" ON "Machine"("modelId");

-- CreateIndex
CREATE INDEX "HourReading_machineId_at_idx" ON "HourReading"("machineId", "at");

-- CreateIndex
CREATE INDEX "Part_numberKey_idx" ON "Part"("numberKey");

-- CreateIndex
CREATE INDEX "Part_partClass_idx" ON "Part"("partClass");

-- CreateIndex
CREATE UNIQUE INDEX "Part_makerKey_numberKey_key" ON "Part"("makerKey", "numberKey");

-- CreateIndex
CREATE INDEX "Supersession_newPartId_idx" ON "Supersession"("newPartId");

-- CreateIndex
CREATE UNIQUE INDEX "Supersession_oldPartId_newPartId_key" ON "Supersession"("oldPartId", "newPartId");

-- CreateIndex
CREATE INDEX "KitContent_contentId_idx" ON "KitContent"("contentId");

-- CreateIndex
CREATE INDEX "Figure_pictureId_idx" ON "Figure"("pictureId");

-- CreateIndex
CREATE INDEX "FigureOfModel_figureId_idx" ON "FigureOfModel"("figureId");

-- CreateIndex
CREATE UNIQUE INDEX "FigureOfModel_modelId_numberKey_key" ON "FigureOfModel"("modelId", "numberKey");

-- CreateIndex
CREATE INDEX "Callout_figureId_idx" ON "Callout"("figureId");

-- CreateIndex
CREATE INDEX "PartsListLine_figureId_sort_idx" ON "PartsListLine"("figureId", "sort");

-- CreateIndex
CREATE INDEX "PartsListLine_partId_idx" ON "PartsListLine"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "Store_nameKey_key" ON "Store"("nameKey");

-- CreateIndex
CREATE UNIQUE INDEX "Bin_storeId_codeKey_key" ON "Bin"("storeId", "codeKey");

-- CreateIndex
CREATE INDEX "Balance_binId_idx" ON "Balance"("binId");

-- CreateIndex
CREATE UNIQUE INDEX "Movement_reversesId_key" ON "Movement"("reversesId");

-- CreateIndex
CREATE INDEX "Movement_partId_id_idx" ON "Movement"("partId", "id");

-- CreateIndex
CREATE INDEX "Movement_binId_id_idx" ON "Movement"("binId", "id");

-- CreateIndex
CREATE INDEX "Movement_jobId_idx" ON "Movement"("jobId");

-- CreateIndex
CREATE INDEX "Movement_orderLineId_idx" ON "Movement"("orderLineId");

-- CreateIndex
CREATE UNIQUE INDEX "Movement_writeKey_writeLine_key" ON "Movement"("writeKey", "writeLine");

-- CreateIndex
CREATE UNIQUE INDEX "Job_number_key" ON "Job"("number");

-- CreateIndex
CREATE INDEX "Job_machineId_openedAt_idx" ON "Job"("machineId", "openedAt");

-- CreateIndex
CREATE INDEX "Job_state_idx" ON "Job"("state");

-- CreateIndex
CREATE INDEX "JobTarget_lineId_idx" ON "JobTarget"("lineId");

-- CreateIndex
CREATE UNIQUE INDEX "JobTarget_jobId_lineId_key" ON "JobTarget"("jobId", "lineId");

-- CreateIndex
CREATE INDEX "JobNeed_partId_idx" ON "JobNeed"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "JobNeed_jobId_key_key" ON "JobNeed"("jobId", "key");

-- CreateIndex
CREATE UNIQUE INDEX "JobCheck_jobId_kind_key_key" ON "JobCheck"("jobId", "kind", "key");

-- CreateIndex
CREATE UNIQUE INDEX "ServiceBookEntry_jobId_key" ON "ServiceBookEntry"("jobId");

-- CreateIndex
CREATE INDEX "ServiceBookEntry_machineId_writtenAt_idx" ON "ServiceBookEntry"("machineId", "writtenAt");

-- CreateIndex
CREATE UNIQUE INDEX "Supplier_nameKey_key" ON "Supplier"("nameKey");

-- CreateIndex
CREATE INDEX "Offer_partId_idx" ON "Offer"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "PurchaseOrder_number_key" ON "PurchaseOrder"("number");

-- CreateIndex
CREATE INDEX "PurchaseOrder_supplierId_idx" ON "PurchaseOrder"("supplierId");

-- CreateIndex
CREATE INDEX "PurchaseOrder_state_idx" ON "PurchaseOrder"("state");

-- CreateIndex
CREATE INDEX "PurchaseOrderLine_partId_idx" ON "PurchaseOrderLine"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "PurchaseOrderLine_orderId_partId_key" ON "PurchaseOrderLine"("orderId", "partId");
