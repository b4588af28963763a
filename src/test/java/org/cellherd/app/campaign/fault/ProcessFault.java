package org.cellherd.app.campaign.fault;

import org.cellherd.app.campaign.stage.Life;
import org.cellherd.app.campaign.stage.RealSite;
import org.cellherd.app.campaign.stage.Threads;

/** What happens to the process. */
public enum ProcessFault implements CampaignFault {
  STOPPED_IN_ORDER(false, (world, r) -> restart(world, false)),
  KILLED(false, (world, r) -> restart(world, true)),
  PLAN_CHANGED(
      false,
      (world, r) -> {
        world.life().changePlan();
        return restart(world, r.nextBoolean());
      }),
  KILLED_WHILE_STARTING(
      true,
      (world, r) -> {
        restart(world, true);
        Threads.pause(r.nextInt(1500));
        return restart(world, true);
      }),
  FROZEN(
      true,
      (world, r) -> {
        world.site().child().signal("STOP");
        return () -> world.site().child().signal("CONT");
      }),
  STARVED(true, (world, r) -> starved(world.site())),
  THREADS_DUMPED(
      true,
      (world, r) -> {
        world.site().child().signal("QUIT");
        return Relief.NONE;
      });

  private final boolean isRealOnly;
  private final Strike strike;

  ProcessFault(boolean isRealOnly, Strike strike) {
    this.isRealOnly = isRealOnly;
    this.strike = strike;
  }

  @Override
  public FaultFamily family() {
    return FaultFamily.PROCESS;
  }

  @Override
  public boolean isRealOnly() {
    return isRealOnly;
  }

  @Override
  public boolean isRestarting() {
    return this != FROZEN && this != STARVED && this != THREADS_DUMPED;
  }

  @Override
  public Strike strike() {
    return strike;
  }

  private static Relief restart(World world, boolean isKilled) throws Exception {
    world.life().restart(isKilled, false, Life.FileWork.NONE);
    return Relief.NONE;
  }

  /** It gets a tenth of a core in pieces. */
  private static Relief starved(RealSite site) {
    boolean[] isOver = {false};
    Threads.start(
        "starving",
        () -> {
          while (!isOver[0]) {
            site.child().signal("STOP");
            Threads.pause(270);
            site.child().signal("CONT");
            Threads.pause(30);
          }
        });
    return () -> {
      isOver[0] = true;
      Threads.pause(400);
      site.child().signal("CONT");
    };
  }
}
