package org.cellherd.app.campaign.fault;

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
    return this == BOOT_IN_1970 || this == BOOT_IN_THE_PAST || this == BOOT_IN_2066;
  }

  @Override
  public Strike strike() {
    return strike;
  }

  private static Relief step(RunClock clock, long ms) {
    clock.stepMs(ms);
    return () -> clock.stepMs(-ms);
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
