package org.cellherd.app.campaign.fault;

import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.cellherd.app.campaign.stage.RunClock;

/** What the wall clock does. */
public enum ClockFault implements CampaignFault {
  STEP_FORWARD((world, r) -> step(world.clock(), 5_000 + r.nextInt(3_600_000))),
  STEP_BACK((world, r) -> step(world.clock(), -5_000 - r.nextInt(1_800_000))),
  SMALL_STEPS(
      (world, r) -> {
        int ms = 200 + r.nextInt(1800);
        return step(world.clock(), r.nextBoolean() ? ms : -ms);
      }),
  BOOT_IN_1970((world, r) -> boot(world, -world.clock().trueMs() + r.nextInt(1000))),
  BOOT_IN_THE_PAST((world, r) -> boot(world, -TimeUnit.DAYS.toMillis(1 + r.nextInt(900)))),
  BOOT_IN_2066((world, r) -> boot(world, TimeUnit.DAYS.toMillis(14_610 + r.nextInt(90)))),
  BEHIND_SINCE_RESTART((world, r) -> restart(world, -60_000 - r.nextInt(7_200_000))),
  AHEAD_SINCE_RESTART((world, r) -> restart(world, 60_000 + r.nextInt(7_200_000))),
  SUSPENDED(
      (world, r) -> {
        world.clock().suspend(20_000 + r.nextInt(900_000));
        return Relief.NONE;
      });

  private final Strike strike;

  ClockFault(Strike strike) {
    this.strike = strike;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.CLOCK;
  }

  @Override
  public boolean isRealOnly() {
    return false;
  }

  @Override
  public boolean isRestarting() {
    return Set.of(
            BOOT_IN_1970, BOOT_IN_THE_PAST, BOOT_IN_2066, BEHIND_SINCE_RESTART, AHEAD_SINCE_RESTART)
        .contains(this);
  }

  @Override
  public Strike strike() {
    return strike;
  }

  private static Relief step(RunClock clock, long ms) {
    clock.stepMs(ms);
    return () -> clock.stepMs(-ms);
  }

  /** The clock is set while nobody runs, and set right while nobody runs, too. */
  private static Relief restart(World world, long ms) throws Exception {
    world.life().restart(false, false, (log, random) -> world.clock().stepMs(ms));
    return () -> world.life().restart(false, false, (log, random) -> world.clock().stepMs(-ms));
  }

  /** The computer starts with a wrong clock, and learns the time from the network later. */
  private static Relief boot(World world, long ms) throws Exception {
    world
        .life()
        .restart(
            true,
            false,
            (log, random) -> {
              world.clock().sure(false);
              world.clock().stepMs(ms);
            });
    return () -> {
      world.clock().stepMs(-ms);
      world.clock().sure(true);
    };
  }
}
