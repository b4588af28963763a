package org.cellherd.app.campaign;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.EnumSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import java.util.function.LongSupplier;
import java.util.function.Predicate;
import org.cellherd.app.campaign.books.Chronicle;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.Catalogue;
import org.cellherd.app.campaign.fault.FaultFamily;
import org.cellherd.app.campaign.fault.World;

/** Lets faults strike and takes them back, one or two at a time, by the true clock. One thread. */
final class Director {

  /** Of these only one at a time: else nobody could tell what a loss came from. */
  private static final Set<FaultFamily> ALONE =
      EnumSet.of(
          FaultFamily.CLOCK,
          FaultFamily.PROCESS,
          FaultFamily.DISK,
          FaultFamily.FILE,
          FaultFamily.INPUT);

  private static final int MOST_AT_ONCE = 2;

  /** The longest pause between two attempts to reach the broker, and an attempt. */
  private static final long ECHO_MS = 75_000;

  private record Active(
      CampaignFault fault, int place, CampaignFault.Relief relief, long untilMs) {}

  /** How long faults last and how long nothing happens between them, ms. */
  record Pace(int pauseMs, int shortMs, int longMs) {}

  private final World world;
  private final Catalogue catalogue;
  private final Chronicle chronicle;
  private final Random random;
  private final LongSupplier trueMs;
  private final Pace pace;
  private final List<Active> active = new ArrayList<>();
  private final Map<FaultFamily, Long> endedMs = new EnumMap<>(FaultFamily.class);
  private long nextMs;

  Director(World world, Catalogue catalogue, Chronicle chronicle, Random random, Pace pace) {
    this.world = world;
    this.catalogue = catalogue;
    this.chronicle = chronicle;
    this.random = random;
    this.trueMs = world.clock()::trueMs;
    this.pace = pace;
    this.nextMs = trueMs.getAsLong() + pace.pauseMs;
  }

  /** Does what is due; of new faults those that the condition lets through. */
  void play(Predicate<CampaignFault> condition) {
    long now = trueMs.getAsLong();
    for (Active each : List.copyOf(active)) {
      if (each.untilMs <= now) {
        relieve(each);
      }
    }
    if (now >= nextMs && active.size() < MOST_AT_ONCE) {
      catalogue.draw(f -> condition.test(f) && isFree(f)).ifPresent(this::strike);
      nextMs = trueMs.getAsLong() + random.nextInt(2 * pace.pauseMs);
    }
  }

  private boolean isFree(CampaignFault fault) {
    return active.stream().noneMatch(a -> excludes(a.fault, fault))
        && fault.apartFrom().stream()
            .allMatch(f -> trueMs.getAsLong() - endedMs.getOrDefault(f, 0L) > ECHO_MS);
  }

  private static boolean excludes(CampaignFault one, CampaignFault other) {
    return one.family() == other.family()
        || (ALONE.contains(one.family()) && ALONE.contains(other.family()))
        || one.apartFrom().contains(other.family())
        || other.apartFrom().contains(one.family());
  }

  private void strike(CampaignFault fault) {
    int place = chronicle.begins(fault, trueMs.getAsLong());
    int most = random.nextInt(8) == 0 ? pace.longMs : pace.shortMs;
    long lastsMs = pace.shortMs / 10L + random.nextInt(most);
    CampaignFault.Relief relief = CampaignFault.Relief.NONE;
    try {
      relief = fault.strike().on(world, random);
    } catch (Exception failed) {
      world.complaints().accept(fault.name() + ": " + failed.getMessage());
    }
    active.add(new Active(fault, place, relief, trueMs.getAsLong() + lastsMs));
  }

  private void relieve(Active over) {
    active.remove(over);
    try {
      over.relief.relieve();
    } catch (Exception failed) {
      world.complaints().accept(over.fault.name() + " over: " + failed.getMessage());
    }
    chronicle.ends(over.place, trueMs.getAsLong());
    endedMs.put(over.fault.family(), trueMs.getAsLong());
  }

  /** Takes everything back. */
  void end() {
    List.copyOf(active).forEach(this::relieve);
  }
}
