package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.OptionalLong;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.TimeSource;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code --from --to}. */
public final class SpanOptions {

  @Option(
      names = "--from",
      paramLabel = "TIME",
      converter = TimeOption.class,
      description = "Begin here: 2026-01-31, 2026-01-31T18:00, or a while ago as 12h or 7d.")
  private @Nullable When from;

  @Option(
      names = "--to",
      paramLabel = "TIME",
      converter = TimeOption.class,
      description = "End before this; else with the newest entry.")
  private @Nullable When to;

  /** ms UTC, empty when not given. */
  OptionalLong fromMs(TimeSource time, ZoneId zone) {
    return from == null ? OptionalLong.empty() : OptionalLong.of(from.resolve(time.wallMs(), zone));
  }

  /** ms UTC, empty when not given. */
  OptionalLong toMs(TimeSource time, ZoneId zone) {
    return to == null ? OptionalLong.empty() : OptionalLong.of(to.resolve(time.wallMs(), zone));
  }
}
