package org.cellherd.app.daemon;

import java.time.Instant;
import java.time.ZoneId;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.Priority;
import org.cellherd.alert.news.MorningLine;
import org.cellherd.analysis.engine.NowSentence;
import org.cellherd.app.config.Config;
import org.cellherd.pack.Gap;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.AlertSpan;
import org.cellherd.store.LogFile;
import org.cellherd.store.StoredEvent;

/** Makes the line of the day from what the packs do now and from the log of the last 24 hours. */
final class MorningCall {

  private static final long DAY_MS = TimeUnit.DAYS.toMillis(1);

  /** A day of 25 hours, and one to be late. */
  private static final long VALID_S = TimeUnit.HOURS.toSeconds(26);

  /** Shorter silences are not worth a word. */
  private static final long LEAST_SILENCE_MS = TimeUnit.MINUTES.toMillis(10);

  private final MorningClock clock;
  private final ZoneId zone;

  MorningCall(Config.Morning config, ZoneId zone, long startMs) {
    this.clock = new MorningClock(config.at(), zone, startMs);
    this.zone = zone;
  }

  /** The line, when it is time. */
  Optional<MorningLine> due(long nowMs, List<PackWatch> packs, LogFile log) {
    return clock.isDue(nowMs) ? Optional.of(line(nowMs, packs, log)) : Optional.empty();
  }

  private MorningLine line(long nowMs, List<PackWatch> packs, LogFile log) {
    List<MorningLine.Part> parts = new ArrayList<>();
    for (PackWatch pack : packs) {
      parts.add(part(pack, log, nowMs));
    }
    String day = Instant.ofEpochMilli(nowMs).atZone(zone).toLocalDate().toString();
    return new MorningLine(nowMs, day, VALID_S, parts);
  }

  private static MorningLine.Part part(PackWatch pack, LogFile log, long nowMs) {
    String now = pack.config().plan().name() + ": " + NowSentence.of(pack.analysis());
    try {
      List<AlertSpan> alerts =
          AlertSpan.of(
              log.events(pack.id(), nowMs - DAY_MS, nowMs + 1).stream()
                  .map(StoredEvent::event)
                  .toList());
      long silentMs = silentMs(log.statistics().gaps(pack.id(), nowMs - DAY_MS, nowMs), nowMs);
      String night = alerts(alerts) + silence(silentMs) + ".";
      Optional<Priority> worst =
          alerts.stream().map(AlertSpan::worst).min(Comparator.naturalOrder());
      return new MorningLine.Part(pack.id(), now + " " + night, alerts.size(), worst);
    } catch (StorageFailure unreadable) {
      String unknown = " The log of the night cannot be read.";
      return new MorningLine.Part(pack.id(), now + unknown, 0, Optional.empty());
    }
  }

  private static String alerts(List<AlertSpan> alerts) {
    if (alerts.isEmpty()) {
      return "No alert in the last 24 h";
    }
    AlertSpan worst =
        alerts.stream()
            .min(Comparator.comparing(AlertSpan::worst).thenComparing(s -> s.alert().key().rule()))
            .orElse(alerts.get(0));
    long standing = alerts.stream().filter(span -> span.toMs().isEmpty()).count();
    String text = worst.alert().text();
    return (alerts.size() == 1 ? "One alert" : alerts.size() + " alerts")
        + " in the last 24 h, "
        + (standing == 0 ? "all over" : standing + " still standing")
        + ", the worst "
        + worst.worst().word()
        + ": "
        + (text.endsWith(".") ? text.substring(0, text.length() - 1) : text);
  }

  /** Pieces of one silence overlap; time counts once. */
  private static long silentMs(List<Gap> gaps, long nowMs) {
    long silent = 0;
    long known = nowMs - DAY_MS;
    for (Gap gap : gaps) {
      long to = Math.min(gap.toMs(), nowMs);
      silent += Math.max(0, to - Math.max(known, gap.fromMs()));
      known = Math.max(known, to);
    }
    return silent;
  }

  private static String silence(long ms) {
    long minutes = TimeUnit.MILLISECONDS.toMinutes(ms);
    if (ms < LEAST_SILENCE_MS) {
      return "";
    }
    return "; nothing was heard for "
        + (minutes < 60 ? minutes + " min" : minutes / 60 + " h " + minutes % 60 + " min");
  }
}
