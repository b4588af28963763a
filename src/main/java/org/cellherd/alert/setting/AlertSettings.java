package org.cellherd.alert.setting;

import java.time.ZoneId;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.cellherd.alert.RuleId;

/** The settings of all rules of one pack, and what they share. Immutable. */
public final class AlertSettings {

  /** Messages below critical in any 24 h; more wait as pending until the window has room. */
  public static final int DEFAULT_DAILY_QUOTA = 12;

  /** Time between two polls of a board. */
  public static final long DEFAULT_POLL_MS = 1000;

  /** That of a board that is polled less often, while what it shows is worth more readings. */
  public static final long FASTEST_POLL_MS = 1000;

  private final Map<RuleId, RuleSettings> rules;
  private final ZoneId zone;
  private final long pollMs;
  private final int dailyQuota;

  private AlertSettings(Map<RuleId, RuleSettings> rules, ZoneId zone, long pollMs, int dailyQuota) {
    this.rules = rules;
    this.zone = zone;
    this.pollMs = pollMs;
    this.dailyQuota = dailyQuota;
  }

  /** Settings of some rules; times in UTC. */
  public static AlertSettings of(List<RuleSettings> rules) {
    Map<RuleId, RuleSettings> map = new LinkedHashMap<>();
    rules.forEach(set -> map.put(set.rule(), set));
    return new AlertSettings(map, ZoneOffset.UTC, DEFAULT_POLL_MS, DEFAULT_DAILY_QUOTA);
  }

  public RuleSettings rule(RuleId rule) {
    RuleSettings found = rules.get(rule);
    if (found == null) {
      throw new IllegalStateException("no settings of " + rule);
    }
    return found;
  }

  public List<RuleSettings> all() {
    return List.copyOf(rules.values());
  }

  public AlertSettings with(RuleSettings settings) {
    Map<RuleId, RuleSettings> changed = new LinkedHashMap<>(rules);
    changed.put(settings.rule(), settings);
    return new AlertSettings(changed, zone, pollMs, dailyQuota);
  }

  /** The same with another zone for the times in sentences and for evenings and mornings. */
  public AlertSettings withZone(ZoneId value) {
    return new AlertSettings(rules, value, pollMs, dailyQuota);
  }

  /**
   * The same with another time between polls, ms.
   *
   * @throws IllegalArgumentException unless it is above 0
   */
  public AlertSettings withPollMs(long value) {
    if (value < 1) {
      throw new IllegalArgumentException("poll time " + value + " ms, allowed 1 and more");
    }
    return new AlertSettings(rules, zone, value, dailyQuota);
  }

  /**
   * The same with another number of messages below critical in 24 h.
   *
   * @throws IllegalArgumentException unless it is 1 to 1000
   */
  public AlertSettings withDailyQuota(int value) {
    if (value < 1 || value > 1000) {
      throw new IllegalArgumentException("daily_quota " + value + ", allowed 1 to 1000");
    }
    return new AlertSettings(rules, zone, pollMs, value);
  }

  public ZoneId zone() {
    return zone;
  }

  /** Time between two polls, ms. */
  public long pollMs() {
    return pollMs;
  }

  /** Messages below critical in any 24 h. */
  public int dailyQuota() {
    return dailyQuota;
  }
}
