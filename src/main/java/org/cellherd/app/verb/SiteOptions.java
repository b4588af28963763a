package org.cellherd.app.verb;

import java.util.Optional;
import org.cellherd.app.Stop;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** Whose log at which centre: {@code --store --site}. */
final class SiteOptions {

  @Mixin private CentreOptions centre;

  @Option(
      names = "--site",
      paramLabel = "NAME",
      description = "With --store: whose log, as the centre holds it.")
  private @Nullable String site;

  /** True when any of them was given. */
  boolean isGiven() {
    return centre.isGiven() || site != null;
  }

  /** The log of a pack, fetched where any of the options was given; the pack is wanted then. */
  Optional<FetchedLog> log(@Nullable String pack) {
    if (!isGiven()) {
      return Optional.empty();
    }
    if (site == null || pack == null || !centre.isGiven()) {
      throw Stop.usage("--store, --site and --pack go together");
    }
    return Optional.of(FetchedLog.of(centre, site, pack));
  }
}
