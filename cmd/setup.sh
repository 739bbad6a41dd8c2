# Installs what building and running needs on Debian and its kin; sourced by
# run.sh and test.sh. Elsewhere it says what to install and goes on.

# need PACKAGE…: installs those that are missing.
need() {
  local missing=()
  for p in "$@"; do
    [ "$(dpkg-query -W -f '${Status}' "$p" 2>/dev/null)" = "install ok installed" ] || missing+=("$p")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  local as=()
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { echo "Please install as root: ${missing[*]}" >&2; return 1; }
    as=(sudo)
  fi
  echo "Installing ${missing[*]}" >&2
  "${as[@]}" apt-get update -qq
  DEBIAN_FRONTEND=noninteractive "${as[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

# need_go: Go 1.21 or later fetches the Go that go.mod asks for by itself. With
# none, Debian's is installed; where that is older it fetches the right one as a
# module, which the module system checks as it does any other.
need_go() {
  command -v go >/dev/null || PATH=$PATH:/usr/local/go/bin
  PATH=$HOME/.cache/bendline/go/bin:$PATH
  command -v go >/dev/null || need golang-go ca-certificates
  case $(go env GOVERSION) in
    go1.?|go1.?.*|go1.1?|go1.1?.*|go1.20*) ;;
    *) return 0 ;;
  esac
  local version platform from
  version=$(sed -n 's/^go //p' go.mod)
  platform=$(go env GOOS)-$(go env GOARCH)
  echo "Fetching Go $version" >&2
  from=$(cd "$(mktemp -d)" && GOFLAGS=-mod=mod go mod download -json "golang.org/toolchain@v0.0.1-go$version.$platform" |
    sed -n 's/^.*"Dir": "\(.*\)".*$/\1/p')
  [ -d "$from" ] || { echo "Go $version could not be fetched. Please install it from go.dev/dl, then start again." >&2; return 1; }
  mkdir -p "$HOME/.cache/bendline"
  cp -r "$from" "$HOME/.cache/bendline/go"
  chmod -R u+w "$HOME/.cache/bendline/go"
  chmod +x "$HOME"/.cache/bendline/go/bin/* "$HOME"/.cache/bendline/go/pkg/tool/*/*
  hash -r
}

build_packages=(gcc pkg-config libc6-dev libgl1-mesa-dev libegl1-mesa-dev libgles2-mesa-dev libx11-dev libxcursor-dev libxrandr-dev libxinerama-dev libxi-dev libxxf86vm-dev)

elsewhere() {
  cat >&2 <<'EOT'
This script sets up Debian and its kin (apt-get), which this machine is not.
  macOS:   install Go 1.26 and the Xcode command line tools (xcode-select --install)
  Windows: install Go 1.26 and a gcc (MSYS2: pacman -S mingw-w64-x86_64-gcc)
  other Linux: Go 1.26, gcc, pkg-config, and the X11, Xcursor, Xrandr, Xinerama, Xi, Xxf86vm and GL headers
Then: go run ./cmd/bendline -demo    (without a window: go run ./cmd/bendline-batch help)
EOT
}
