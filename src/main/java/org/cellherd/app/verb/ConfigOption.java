package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.Optional;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.ConfigFiles;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Option;

/** {@code --config FILE}. */
final class ConfigOption {

  @Option(
      names = "--config",
      paramLabel = "FILE",
      description = "The config; else ./cellherd.toml, else /etc/cellherd/cellherd.toml.")
  private @Nullable Path file;

  Config load() {
    return ConfigFiles.load(Optional.ofNullable(file));
  }

  /** Without secrets that belong to another user. */
  Config loadToAsk() {
    return ConfigFiles.loadToAsk(Optional.ofNullable(file));
  }

  /** True when a config was named. */
  boolean isGiven() {
    return file != null;
  }

  /** True when a config was named or lies where it is looked for. */
  boolean isThere() {
    return file != null || ConfigFiles.find().isPresent();
  }
}
