package org.cellherd.app.campaign.books;

import java.time.Instant;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Predicate;
import org.cellherd.app.campaign.fault.CampaignFault;
import org.cellherd.app.campaign.fault.FaultFamily;

/** What went wrong when. Thread-safe. */
public final class Chronicle {

  private final List<Spell> spells = new ArrayList<>();

  /** A fault strikes; returns its place. */
  public synchronized int begins(CampaignFault fault, long trueMs) {
    spells.add(new Spell(fault, trueMs, Long.MAX_VALUE));
    return spells.size() - 1;
  }

  /** It is taken back. */
  public synchronized void ends(int place, long trueMs) {
    spells.set(place, spells.get(place).until(trueMs));
  }

  /** True when something of the kind lasted at some time from one to another. */
  public synchronized boolean any(Predicate<CampaignFault> kind, long fromMs, long toMs) {
    return spells.stream().anyMatch(s -> kind.test(s.fault()) && s.touches(fromMs, toMs));
  }

  /** The same of a family. */
  public boolean any(FaultFamily family, long fromMs, long toMs) {
    return any(fault -> fault.family() == family, fromMs, toMs);
  }

  /** How often each kind struck, by family and name. */
  public synchronized Map<FaultFamily, Map<String, Integer>> counts() {
    Map<FaultFamily, Map<String, Integer>> counts = new TreeMap<>();
    for (Spell spell : spells) {
      counts
          .computeIfAbsent(spell.fault().family(), f -> new TreeMap<>())
          .merge(spell.fault().name(), 1, Integer::sum);
    }
    return counts;
  }

  /** Every strike with its times, a line each. */
  public synchronized List<String> lines() {
    return spells.stream()
        .map(
            s ->
                Instant.ofEpochMilli(s.fromMs())
                    + " for "
                    + (s.toMs() - s.fromMs()) / 1000.0
                    + " s: "
                    + s.fault().family()
                    + " "
                    + s.fault().name())
        .toList();
  }

  /** How many lasted at some time from one to another. */
  synchronized long count(long fromMs, long toMs) {
    return spells.stream().filter(s -> s.touches(fromMs, toMs)).count();
  }

  /** How many struck. */
  public synchronized int size() {
    return spells.size();
  }
}
