-- CreateTable
CREATE TABLE "PartBin" (
    "partId" INTEGER NOT NULL,
    "binId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,

    PRIMARY KEY ("partId", "binId"),
    CONSTRAINT "PartBin_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "PartBin_binId_fkey" FOREIGN KEY ("binId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "PartPack" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "partId" INTEGER NOT NULL,
    "name" TEXT NOT NULL,
    "nameKey" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL,
    CONSTRAINT "PartPack_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "Consignment" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "number" INTEGER NOT NULL,
    "fromStoreId" INTEGER NOT NULL,
    "toStoreId" INTEGER NOT NULL,
    "packedAt" DATETIME NOT NULL,
    "packedById" TEXT NOT NULL,
    "sentAt" DATETIME,
    "sentById" TEXT,
    CONSTRAINT "Consignment_fromStoreId_fkey" FOREIGN KEY ("fromStoreId") REFERENCES "Store" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "Consignment_toStoreId_fkey" FOREIGN KEY ("toStoreId") REFERENCES "Store" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "ConsignmentLine" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "consignmentId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "fromBinId" INTEGER NOT NULL,
    "quantity" INTEGER NOT NULL,
    "arrived" INTEGER NOT NULL DEFAULT 0,
    "lost" INTEGER NOT NULL DEFAULT 0,
    "lostReason" TEXT,
    CONSTRAINT "ConsignmentLine_consignmentId_fkey" FOREIGN KEY ("consignmentId") REFERENCES "Consignment" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ConsignmentLine_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "ConsignmentLine_fromBinId_fkey" FOREIGN KEY ("fromBinId") REFERENCES "Bin" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateTable
CREATE TABLE "DeliveryRecord" (
    "id" INTEGER NOT NULL PRIMARY KEY AUTOINCREMENT,
    "orderLineId" INTEGER NOT NULL,
    "supplierId" INTEGER NOT NULL,
    "partId" INTEGER NOT NULL,
    "kind" TEXT NOT NULL,
    "quantity" INTEGER NOT NULL,
    "note" TEXT,
    "at" DATETIME NOT NULL,
    "personId" TEXT NOT NULL,
    "movementId" INTEGER,
    CONSTRAINT "DeliveryRecord_orderLineId_fkey" FOREIGN KEY ("orderLineId") REFERENCES "PurchaseOrderLine" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "DeliveryRecord_supplierId_fkey" FOREIGN KEY ("supplierId") REFERENCES "Supplier" ("id") ON DELETE RESTRICT ON UPDATE CASCADE,
    CONSTRAINT "DeliveryRecord_partId_fkey" FOREIGN KEY ("partId") REFERENCES "Part" ("id") ON DELETE RESTRICT ON UPDATE CASCADE
);

-- CreateIndex
CREATE INDEX "PartBin_binId_idx" ON "PartBin"("binId");

-- CreateIndex
CREATE UNIQUE INDEX "PartPack_partId_nameKey_key" ON "PartPack"("partId", "nameKey");

-- CreateIndex
CREATE UNIQUE INDEX "Consignment_number_key" ON "Consignment"("number");

-- CreateIndex
CREATE INDEX "ConsignmentLine_partId_idx" ON "ConsignmentLine"("partId");

-- CreateIndex
CREATE UNIQUE INDEX "ConsignmentLine_consignmentId_partId_fromBinId_key" ON "ConsignmentLine"("consignmentId", "partId", "fromBinId");

-- CreateIndex
CREATE INDEX "DeliveryRecord_orderLineId_idx" ON "DeliveryRecord"("orderLineId");

-- CreateIndex
CREATE INDEX "DeliveryRecord_supplierId_at_idx" ON "DeliveryRecord"("supplierId", "at");

-- CreateIndex
CREATE INDEX "DeliveryRecord_partId_idx" ON "DeliveryRecord"("partId");
