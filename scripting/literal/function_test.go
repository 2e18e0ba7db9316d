package literal

import (
	"fmt"
	"testing"
)

func TestFunctionsKnowWhoCallsThem(t *testing.T) {
	const text = `local function pair(bot)
  for i = 1, 2 do if i then pair(bot) end end
  repeat wait() until bot.sense.chute:sees()
end
function other.f() end
return routine {auto = function(bot)
  pair(bot)
  bot.arm:pair()
  if true then pair(bot) end
end}`
	if got := fmt.Sprint(Functions(text)); got != "[{pair 1 4 [7 9]}]" {
		t.Error(got)
	}
}
