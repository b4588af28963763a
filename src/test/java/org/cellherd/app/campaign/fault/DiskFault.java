package org.cellherd.app.campaign.fault;

import org.cellherd.app.campaign.stage.Shim;

/** What the card does. */
public enum DiskFault implements CampaignFault {
  FULL(
      false,
      (world, r) -> {
        world.card().fill();
        return () -> world.card().free();
      }),
  READ_ONLY(true, (world, r) -> refuse(world, 30, Shim.Which.ALL)),
  FAILING(true, (world, r) -> refuse(world, 5, Shim.Which.ALL)),
  QUOTA(true, (world, r) -> refuse(world, 122, Shim.Which.ALL)),
  FULL_FOR_WAL(true, (world, r) -> refuse(world, 28, Shim.Which.WRITE_AHEAD_LOG)),
  FULL_FOR_TAIL(true, (world, r) -> refuse(world, 28, Shim.Which.TAIL)),
  UNREADABLE(
      true,
      (world, r) -> {
        world.site().shim().refuseReads(5);
        return () -> world.site().shim().refuseReads(0);
      }),
  WITHOUT_LOCKS(
      true,
      (world, r) -> {
        world.site().shim().refuseLocks(37);
        return () -> world.site().shim().refuseLocks(0);
      }),
  MOUNTED_READ_ONLY(
      true,
      (world, r) -> {
        world.life().restart(r.nextBoolean(), false, (log, x) -> world.card().readOnly(true));
        return () -> world.life().restart(false, true, (log, x) -> world.card().readOnly(false));
      }),
  SLOW_SYNC(
      true,
      (world, r) -> {
        world.site().shim().slowSyncs(200 + r.nextInt(2500));
        return () -> world.site().shim().slowSyncs(0);
      }),
  NO_MORE_FILES(
      true,
      (world, r) -> {
        world.card().takeFiles();
        return () -> world.card().freeFiles();
      });

  private final boolean isRealOnly;
  private final Strike strike;

  DiskFault(boolean isRealOnly, Strike strike) {
    this.isRealOnly = isRealOnly;
    this.strike = strike;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.DISK;
  }

  @Override
  public boolean mayHarmLog() {
    return this != SLOW_SYNC;
  }

  @Override
  public boolean isRealOnly() {
    return isRealOnly;
  }

  @Override
  public boolean isRestarting() {
    return this == MOUNTED_READ_ONLY;
  }

  @Override
  public Strike strike() {
    return strike;
  }

  /**
   * Writes fail with a number of the system: 5 is EIO, 28 is ENOSPC, 30 is EROFS, 37 is ENOLCK, 122
   * is EDQUOT.
   */
  private static Relief refuse(World world, int errno, Shim.Which which) {
    world.site().shim().refuseWrites(errno, which);
    return () -> world.site().shim().refuseWrites(0, Shim.Which.ALL);
  }
}
