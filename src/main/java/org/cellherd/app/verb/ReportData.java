package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.EnumSet;
import java.util.List;
import java.util.OptionalLong;
import java.util.concurrent.TimeUnit;
import org.cellherd.analysis.Finding;
import org.cellherd.analysis.FindingName;
import org.cellherd.app.config.PackConfig;
import org.cellherd.pack.Channel;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.StorageFailure;
import org.cellherd.report.AlertSpan;
import org.cellherd.report.Made;
import org.cellherd.report.Remark;
import org.cellherd.report.ReportEvidence;
import org.cellherd.report.ReportInput;
import org.cellherd.report.plot.Tracks;
import org.cellherd.store.LogFile;
import org.cellherd.store.Statistic;
import org.cellherd.store.StoredEvent;

/** Gathers what a report is made from: single readings of some days, statistics of more. */
final class ReportData {

  private static final long READINGS_UP_TO_MS = TimeUnit.DAYS.toMillis(3);
  private static final long HOURS_UP_TO_MS = TimeUnit.DAYS.toMillis(60);
  private static final long HOUR_MS = TimeUnit.HOURS.toMillis(1);
  private static final int MOST_SENSORS = 8;

  private final LogFile file;
  private final PackConfig pack;
  private final long fromMs;
  private final long toMs;

  ReportData(LogFile file, PackConfig pack, long fromMs, long toMs) {
    this.file = file;
    this.pack = pack;
    this.fromMs = fromMs;
    this.toMs = toMs;
  }

  ReportInput gather(Made made) throws StorageFailure {
    Tracks tracks = new Tracks(fromMs, toMs);
    List<Gap> gaps = new ArrayList<>();
    if (toMs - fromMs <= READINGS_UP_TO_MS) {
      readings(tracks, gaps);
    } else {
      statistics(tracks);
    }
    ReportEvidence evidence = new ReportEvidence(findings(), alerts(), remarks(), gaps);
    return ReportInput.of(pack.plan(), tracks, evidence, made);
  }

  private void readings(Tracks tracks, List<Gap> gaps) throws StorageFailure {
    file.history()
        .replay(
            pack.plan().id(),
            fromMs,
            toMs,
            entry -> {
              if (entry instanceof Reading reading) {
                tracks.add(reading);
              } else if (entry instanceof Gap gap) {
                gaps.add(gap);
              }
            });
  }

  private void statistics(Tracks tracks) throws StorageFailure {
    List<Channel> channels = new ArrayList<>();
    channels.add(Channel.of(Channel.Kind.CURRENT));
    channels.add(Channel.of(Channel.Kind.PACK_VOLTAGE));
    channels.add(Channel.of(Channel.Kind.SOC));
    for (int cell = 1; cell <= pack.plan().series(); cell++) {
      channels.add(Channel.cell(cell));
    }
    for (int sensor = 1; sensor <= MOST_SENSORS; sensor++) {
      channels.add(Channel.temperature(sensor));
    }
    boolean hours = toMs - fromMs <= HOURS_UP_TO_MS;
    long length = hours ? HOUR_MS : 24 * HOUR_MS;
    String id = pack.plan().id();
    for (Channel channel : channels) {
      List<Statistic> rows =
          hours
              ? file.statistics().hourStatistics(id, channel, fromMs, toMs)
              : file.statistics().dayStatistics(id, channel, fromMs, toMs);
      for (Statistic row : rows) {
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

  private List<Finding> findings() throws StorageFailure {
    OptionalLong to = OptionalLong.of(toMs);
    return new LogAnalysis(file.history(), pack)
        .findings(EnumSet.allOf(FindingName.class), OptionalLong.empty(), to).stream()
            .filter(f -> f.toMs() >= fromMs)
            .toList();
  }

  private List<AlertSpan> alerts() throws StorageFailure {
    return AlertSpan.of(
        file.events(pack.plan().id(), fromMs, toMs).stream().map(StoredEvent::event).toList());
  }

  private List<Remark> remarks() throws StorageFailure {
    return file.remarks().notes(pack.plan().id(), fromMs, toMs).stream()
        .map(n -> new Remark(n.atMs(), n.by(), n.text()))
        .toList();
  }
}
