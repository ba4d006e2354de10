package seal

import "strings"

// wordList has one word for each value of a byte, in order of the alphabet:
// short plain English words chosen for this program to be told apart by ear. No
// number, no word of the trade, no two that sound alike; a test measures it. It
// never changes: words in old books are read by it.
var wordList = strings.Fields(`
	acorn adder album anchor ankle apron armour artist atlas attic autumn badge bakery ballad
	bamboo banjo barley basin basket beacon beaver beech belfry biscuit blossom bonfire bottle
	bramble brass bread bridle bronze buffalo bugle butter cabbage cactus camel canoe canvas
	carrot castle cedar chalk cherry chestnut chimney cinder circus clarinet cloak clover cobweb
	coconut copper coral cotton cowslip crayon cricket crystal cupboard curtain cushion dagger
	daisy damson daylight desert diamond dolphin donkey drizzle dumpling dustbin echo elbow
	elephant ember emerald engraver envelope falcon farmer feather fiddle flamingo flannel flint
	forest fossil fountain foxglove furnace gallop garden garlic giraffe glacier goblet goldfish
	granite grape guitar hamster harvest hatchet hawthorn hedgehog helmet horizon hornet hyacinth
	iceberg indigo inkwell insect island ivory jaguar jasmine jelly jewel jigsaw juniper kestrel
	kitchen knapsack lagoon lantern lapwing larch lavender lemon lettuce lilac linen lobster
	locket lullaby lupin magnet magpie mahogany mandolin marble marigold meadow mercury midnight
	mirror mitten monsoon mosaic mulberry mushroom mustard napkin nectar needle nightcap nugget
	nutmeg nylon oatmeal ocean octopus olive onion orange orchard ostrich pancake panther parcel
	pebble pelican pencil pewter pheasant picnic pigeon pilgrim pillow plaster poppy porridge
	potato primrose pudding pumpkin puppet purple quail quarry quiver rabbit radish rainbow raven
	rhubarb ribbon robin rosemary rubber saffron sandal sardine saucer scarlet seagull silver
	skylark slipper sparrow spider spinach sponge sugar sulphur summer swallow syrup tadpole
	tartan teapot thimble thunder toffee topaz treacle trumpet tulip unicorn urchin utensil
	vanilla vinegar violet volcano vulture waffle walnut weasel whistle wicker wigwam window
	wizard wrinkle yacht yeoman yoghurt zebra zephyr zigzag
`)
