package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.OptionalLong;
import org.cellherd.app.Stop;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.TimeSource;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code --from --to}. */
final class SpanOptions {

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

  /**
   * ms UTC, empty when not given.
   *
   * @throws Stop when it is not after the beginning
   */
  OptionalLong toMs(TimeSource time, ZoneId zone) {
    if (to == null) {
      return OptionalLong.empty();
    }
    long ms = to.resolve(time.wallMs(), zone);
    if (from != null && from.resolve(time.wallMs(), zone) >= ms) {
      throw Stop.usage("--from must be before --to");
    }
    return OptionalLong.of(ms);
  }
}
