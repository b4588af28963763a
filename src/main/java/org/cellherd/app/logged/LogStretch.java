package org.cellherd.app.logged;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.cellherd.alert.Alert;
import org.cellherd.alert.AlertEvent;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Gap;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.Remark;
import org.cellherd.report.plot.Tracks;
import org.cellherd.store.LogFile;
import org.cellherd.store.Statistics;
import org.cellherd.store.StoredEvent;

/**
 * What the log holds of a pack between two times, for reports and the page: single readings of some
 * days, statistics of more. One use, one thread.
 */
public final class LogStretch {

  private static final long READINGS_UP_TO_MS = TimeUnit.DAYS.toMillis(3);
  private static final long HOURS_UP_TO_MS = TimeUnit.DAYS.toMillis(60);
  private static final long HOUR_MS = TimeUnit.HOURS.toMillis(1);
  private static final int MOST_SENSORS = 8;

  private final LogFile file;
  private final PackPlan plan;
  private final long fromMs;
  private final long toMs;

  /** A stretch of an open log with {@code fromMs <= time < toMs}. */
  public LogStretch(LogFile file, PackPlan plan, long fromMs, long toMs) {
    this.file = file;
    this.plan = plan;
    this.fromMs = fromMs;
    this.toMs = toMs;
  }

  /** The quantities in columns; gaps that the log names are added to a list. */
  public Tracks tracks(List<Gap> gaps) throws StorageFailure {
    gaps.addAll(file.statistics().gaps(plan.id(), fromMs, toMs));
    Tracks tracks = new Tracks(fromMs, toMs);
    if (toMs - fromMs <= READINGS_UP_TO_MS) {
      readings(tracks);
    } else {
      statistics(tracks);
    }
    return tracks;
  }

  private void readings(Tracks tracks) throws StorageFailure {
    file.history()
        .replay(
            plan.id(),
            fromMs,
            toMs,
            entry -> {
              if (entry instanceof Reading reading) {
                tracks.add(reading);
              }
            });
  }

  private void statistics(Tracks tracks) throws StorageFailure {
    boolean hours = toMs - fromMs <= HOURS_UP_TO_MS;
    long length = hours ? HOUR_MS : 24 * HOUR_MS;
    // The row in which the stretch begins counts too.
    long firstMs = Math.floorDiv(fromMs, length) * length;
    if (!hours) {
      hearing(tracks);
    }
    for (Channel channel : channels()) {
      List<Statistics.Summary> rows =
          hours
              ? file.statistics().hourStatistics(plan.id(), channel, firstMs, toMs)
              : file.statistics().dayStatistics(plan.id(), channel, firstMs, toMs);
      for (Statistics.Summary row : rows) {
        tracks.add(
            channel,
            new Tracks.Span(row.startMs(), row.startMs() + length),
            (double) row.min(),
            row.mean(),
            (double) row.max(),
            row.count());
      }
    }
  }

  /** A day in which a pack was heard for an hour is no day heard. */
  private void hearing(Tracks tracks) throws StorageFailure {
    long firstMs = Math.floorDiv(fromMs, HOUR_MS) * HOUR_MS;
    for (Channel channel : channels()) {
      List<Statistics.Summary> rows =
          file.statistics().hourStatistics(plan.id(), channel, firstMs, toMs);
      rows.forEach(row -> tracks.hear(new Tracks.Span(row.startMs(), row.startMs() + HOUR_MS)));
      if (!rows.isEmpty()) {
        return;
      }
    }
  }

  private List<Channel> channels() {
    List<Channel> channels = new ArrayList<>();
    channels.add(Channel.of(Channel.Kind.CURRENT));
    channels.add(Channel.of(Channel.Kind.PACK_VOLTAGE));
    channels.add(Channel.of(Channel.Kind.SOC));
    for (int cell = 1; cell <= plan.series(); cell++) {
      channels.add(Channel.cell(cell));
    }
    for (int sensor = 1; sensor <= MOST_SENSORS; sensor++) {
      channels.add(Channel.temperature(sensor));
    }
    return channels;
  }

  /** Alerts that stood or were told in the stretch, in the order of their raising. */
  public List<AlertSpan> alerts() throws StorageFailure {
    // One that was raised before is told from its raising.
    List<AlertEvent> events =
        file.events(plan.id(), Long.MIN_VALUE, toMs).stream().map(StoredEvent::event).toList();
    // The log says each minute what an active alert has come to; later figures do not count here.
    List<Alert> standing =
        file.alertLog().standing().stream().filter(alert -> alert.timeMs() < toMs).toList();
    return AlertSpan.of(events, standing).stream()
        .filter(s -> s.toMs().orElse(toMs) >= fromMs)
        .sorted(Comparator.comparingLong(AlertSpan::fromMs))
        .toList();
  }

  /**
   * What the last charge of the stretch came to, as far as it went: who was ahead, by how much,
   * when the pack was balanced. Of many days none: they hold many charges.
   */
  public Optional<Finding> charge() throws StorageFailure {
    if (toMs - fromMs > READINGS_UP_TO_MS) {
      return Optional.empty();
    }
    for (FindingName name : List.of(FindingName.FULL_CHARGE, FindingName.BALANCE)) {
      List<Finding> told = file.history().findings(plan.id(), name, fromMs, toMs);
      if (!told.isEmpty()) {
        return Optional.of(told.get(told.size() - 1));
      }
    }
    return Optional.empty();
  }

  /** Whether a run had begun to watch the pack before the end: what is imported is not judged. */
  public boolean isWatched() throws StorageFailure {
    return file.watchedFromMs(plan.id()).orElse(Long.MAX_VALUE) < toMs;
  }

  /** What people noted about the stretch. */
  public List<Remark> remarks() throws StorageFailure {
    return file.remarks().notes(plan.id(), fromMs, toMs).stream()
        .map(n -> new Remark(n.atMs(), n.by(), n.text()))
        .toList();
  }
}
