package org.cellherd.app.command;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * Who runs the programs of a config.
 *
 * @param account the user
 * @param hidden folders that are not what they seem to whoever runs them
 */
record CommandUser(UserAccount account, List<Path> hidden) {

  private static final Path INSTALLED = Path.of("/etc/cellherd/cellherd.toml");
  private static final String SERVICE_USER = "cellherd";

  /** By ProtectHome and PrivateTmp of the installed unit. */
  static final List<Path> HIDDEN_FROM_SERVICE =
      List.of(
          Path.of("/home"),
          Path.of("/root"),
          Path.of("/run/user"),
          Path.of("/tmp"),
          Path.of("/var/tmp"));

  CommandUser {
    hidden = List.copyOf(hidden);
  }

  /** The service for the installed config, else whoever asks; empty where it cannot be known. */
  static Optional<CommandUser> of(Path config) {
    Optional<UserAccount> service =
        config.toAbsolutePath().normalize().equals(INSTALLED)
            ? UserAccount.named(SERVICE_USER)
            : Optional.empty();
    return service
        .map(account -> new CommandUser(account, HIDDEN_FROM_SERVICE))
        .or(() -> UserAccount.current().map(account -> new CommandUser(account, List.of())));
  }

  /** The first of these that is hidden, if any. */
  Optional<Path> firstHidden(List<Path> paths) {
    return paths.stream().filter(p -> hidden.stream().anyMatch(p::startsWith)).findFirst();
  }
}
