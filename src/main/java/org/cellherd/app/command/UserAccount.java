package org.cellherd.app.command;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * A user of this computer and the groups that count for its rights.
 *
 * @param name how people call it
 * @param uid its number; 0 may enter and read everything
 * @param gids numbers of its groups, the first one included
 */
record UserAccount(String name, int uid, Set<Integer> gids) {

  private static final Pattern NUMBERS = Pattern.compile("(?m)^(Uid|Gid|Groups):([ \\t0-9]*)$");

  UserAccount {
    gids = Set.copyOf(gids);
  }

  /** Whoever runs this program; empty where the system does not tell numbers. */
  static Optional<UserAccount> current() {
    int uid = -1;
    Set<Integer> gids = new HashSet<>();
    Matcher line = NUMBERS.matcher(text(Path.of("/proc/self/status")));
    while (line.find()) {
      List<Integer> numbers = numbers(line.group(2));
      // Real, effective, saved, of the file system: the second is what an exec goes by.
      if (line.group(1).equals("Uid")) {
        uid = numbers.get(1);
      } else if (line.group(1).equals("Gid")) {
        gids.add(numbers.get(1));
      } else {
        gids.addAll(numbers);
      }
    }
    String name = System.getProperty("user.name", "you");
    return uid < 0 ? Optional.empty() : Optional.of(new UserAccount(name, uid, gids));
  }

  /** A user by name, as {@code /etc/passwd} and {@code /etc/group} have it. */
  static Optional<UserAccount> named(String name) {
    for (String[] user : fields("/etc/passwd")) {
      if (user.length > 3 && user[0].equals(name)) {
        Set<Integer> gids = new HashSet<>(Set.of(Integer.parseInt(user[3])));
        for (String[] group : fields("/etc/group")) {
          if (group.length > 3 && List.of(group[3].split(",")).contains(name)) {
            gids.add(Integer.parseInt(group[2]));
          }
        }
        return Optional.of(new UserAccount(name, Integer.parseInt(user[2]), gids));
      }
    }
    return Optional.empty();
  }

  private static List<String[]> fields(String file) {
    return text(Path.of(file))
        .lines()
        .filter(line -> line.matches("[^:#]+:[^:]*:[0-9]{1,9}:.*"))
        .map(line -> line.split(":", -1))
        .toList();
  }

  private static List<Integer> numbers(String text) {
    List<Integer> numbers = new ArrayList<>();
    for (String word : text.strip().split("\\s+")) {
      if (word.matches("[0-9]{1,9}")) {
        numbers.add(Integer.parseInt(word));
      }
    }
    return numbers;
  }

  private static String text(Path file) {
    try {
      return Files.readString(file);
    } catch (IOException absent) {
      return "";
    }
  }
}
